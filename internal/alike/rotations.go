package alike

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// Bounds of the search for rotations: how many are tried, and how many pairs of corners
// are looked at to find them. Judgement.
const (
	maxRotations = 600
	maxPairs     = 200_000
)

func determinant(m *[9]float64) float64 {
	return mesh.Vec{X: m[0], Y: m[1], Z: m[2]}.Dot(mesh.Vec{X: m[3], Y: m[4], Z: m[5]}.Cross(mesh.Vec{X: m[6], Y: m[7], Z: m[8]}))
}

// rotations lists ways to turn one shape onto the other, those that do not mirror first,
// and of these the least turn.
func (p *pair) rotations(factor float64) [][9]float64 {
	list := slices.Concat(quarters[:], p.frames(), p.byPairs(factor))
	turn := func(m *[9]float64) float64 { // falls as a turn grows
		return math.Round(float64((m[0]+m[4]+m[8])*1e6)) / 1e6
	}
	slices.SortStableFunc(list, func(a, b [9]float64) int {
		return cmp.Or(-cmp.Compare(math.Round(determinant(&a)), math.Round(determinant(&b))), -cmp.Compare(turn(&a), turn(&b)))
	})
	return list
}

// quarters are the 48 ways to lay the axes on each other, mirrored or not.
var quarters = func() (list [48][9]float64) {
	n := 0
	for _, order := range [6][3]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}, {2, 1, 0}, {1, 0, 2}} {
		for signs := range 8 {
			for row, column := range order {
				list[n][3*row+column] = sign(signs >> row)
			}
			n++
		}
	}
	return list
}()

func sign(bit int) float64 { return float64(1 - 2*(bit&1)) }

// frames lay the axes along which one shape spreads on those of the other, where these are
// sure; and a shape as it lies, in any case.
func (p *pair) frames() [][9]float64 {
	list := [][9]float64{mesh.Identity}
	if !distinct(&p.was.Spread) || !distinct(&p.now.Spread) {
		return list
	}
	for signs := range 8 {
		to := p.now.Axis
		for k := range to {
			to[k] = to[k].Scale(sign(signs >> k))
		}
		list = append(list, onto(&p.was.Axis, &to))
	}
	slices.SortStableFunc(list[1:], func(a, b [9]float64) int { return -cmp.Compare(determinant(&a), determinant(&b)) })
	return list
}

// onto is the rotation that brings three directions, square to each other, onto three more.
func onto(from, to *[3]mesh.Vec) (m [9]float64) {
	for k := range 3 {
		f, t := from[k], to[k]
		for i, x := range [3]float64{t.X, t.Y, t.Z} {
			m[3*i] += float64(x * f.X)
			m[3*i+1] += float64(x * f.Y)
			m[3*i+2] += float64(x * f.Z)
		}
	}
	return m
}

// arm is a corner as it lies from the middle of the surface.
type arm struct {
	mesh.Vec
	long float64
}

func (s *side) arms() []arm {
	list := make([]arm, 0, len(s.corners.list))
	for _, v := range s.corners.list {
		a := mesh.Of64(s.Verts[v]).Sub(s.Middle)
		list = append(list, arm{a, a.Len()})
	}
	slices.SortStableFunc(list, func(a, b arm) int { return cmp.Compare(a.long, b.long) })
	return list
}

// byPairs lays two corners of one shape on all pairs of the other that are as far from the
// middle and from each other: what tells how a shape lies that spreads alike all round.
func (p *pair) byPairs(factor float64) (list [][9]float64) {
	was, now := p.was.arms(), p.now.arms()
	loose := 2 * p.looseAt(factor)
	a, b, ok := twoRare(was, loose/factor)
	if !ok {
		return nil
	}
	from := frameOf(a.Vec, b.Vec)
	apart := float64(a.Sub(b.Vec).Len() * factor)
	tried := 0
	for _, c := range asLong(now, float64(a.long*factor), loose) {
		for _, d := range asLong(now, float64(b.long*factor), loose) {
			if tried++; tried > maxPairs || len(list) >= maxRotations {
				return list
			}
			if math.Abs(c.Sub(d.Vec).Len()-apart) > 2*loose {
				continue
			}
			to := frameOf(c.Vec, d.Vec)
			list = append(list, onto(&from, &to))
			to[2] = to[2].Scale(-1)
			list = append(list, onto(&from, &to))
		}
	}
	return list
}

// asLong are the arms of a length.
func asLong(arms []arm, long, loose float64) []arm {
	from, _ := slices.BinarySearchFunc(arms, long-loose, func(a arm, x float64) int { return cmp.Compare(a.long, x) })
	to := from
	for to < len(arms) && arms[to].long <= long+loose {
		to++
	}
	return arms[from:to]
}

// frameOf is three directions square to each other, of which the first two lie in the plane
// of two arms.
func frameOf(a, b mesh.Vec) [3]mesh.Vec {
	x := a.Unit()
	z := a.Cross(b).Unit()
	return [3]mesh.Vec{x, z.Cross(x), z}
}

// maxRare is how many of the rarest arms are looked at. Judgement.
const maxRare = 60

// twoRare picks two arms, of lengths that few have, that do not lie in one line. What lies
// near the middle tells little of a turn and comes last.
func twoRare(arms []arm, loose float64) (a, b arm, ok bool) {
	if len(arms) == 0 {
		return a, b, false
	}
	most := arms[len(arms)-1].long
	near := func(i int) int { return way(arms[i].long < most/4) }
	as, order := make([]int, len(arms)), make([]int, len(arms)) // how many are as long
	for i, from, to := 0, 0, 0; i < len(arms); i++ {
		for arms[i].long-arms[from].long > loose {
			from++
		}
		for to < len(arms) && arms[to].long-arms[i].long <= loose {
			to++
		}
		as[i], order[i] = to-from, i
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(near(i), near(j)), cmp.Compare(as[i], as[j]), cmp.Compare(j, i))
	})
	order = order[:min(len(order), maxRare)]
	for k, i := range order {
		for _, j := range order[k:] {
			a, b = arms[i], arms[j]
			if square := a.Cross(b.Vec).Len(); square > 0.1*a.long*b.long && a.long > 0 && b.long > 0 {
				return a, b, true
			}
		}
	}
	return a, b, false
}
