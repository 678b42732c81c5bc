package advise

import (
	"cmp"
	"context"
	"math"
	"slices"

	"printlint/internal/cut"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/work"
)

// plane is where a model may be cut in two, in the file's own frame, with its cheap score.
type plane struct {
	normal  mesh.Vec
	offset  float64
	hang    float64 // mm2 of undersides that the pieces have, each laid the better way
	section float64 // mm2
	middle  float64 // how far it lies from the middle, 0 to 1
}

// How many normals are looked at, how many heights along each, how many planes of one normal
// are taken up, and how far apart these are at least, as a share of the extent. Judgement, no
// source.
const (
	mostNormals = 12
	heightSteps = 64
	alongOne    = 3
	planesApart = 0.06
)

// leastSection is the area in mm2 from which a section is a foot, and holds glue. thinnest
// is the share of the extent that a piece has at least. Judgement, no source.
const (
	leastSection = 60.0
	thinnest     = 0.08
)

// planes lists where a cut is worth judging, the best first.
func planes(ctx context.Context, m *mesh.Mesh, normals []mesh.Vec, angle float64) ([]plane, error) {
	var all []plane
	for _, n := range normals {
		if err := work.Of(ctx).Spend(planeCost * int64(len(m.Tris))); err != nil {
			return nil, err
		}
		all = append(all, newSlope(m, fine(n), angle).planes()...)
	}
	sortPlanes(all)
	return all, nil
}

// planeCost is what looking along one normal costs in work for each triangle, about.
const planeCost = 60

// sortPlanes puts first what leaves the least hanging, then the largest section: it is the
// foot and the joint. A plane square to an axis is easier to draw, which is worth a little.
func sortPlanes(list []plane) {
	slices.SortStableFunc(list, func(a, b plane) int {
		return cmp.Or(
			cmp.Compare(step(a.cost()), step(b.cost())),
			-cmp.Compare(step(a.section/10), step(b.section/10)),
			cmp.Compare(math.Round(50*a.middle), math.Round(50*b.middle)),
		)
	})
}

// little is the area in mm2 that may hang before it counts, and askewFrom what a plane that
// is square to no axis must gain. Judgement, no source.
const (
	little    = 10.0
	askewFrom = 50.0
)

// cost is what hangs, in shares of what is little.
func (p *plane) cost() float64 {
	if n := p.normal; max(math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)) < 1-1e-9 {
		return (p.hang + askewFrom) / little
	}
	return p.hang / little
}

// drawnSquare is the share of faces square to the axes from which a model is a drawn part: a
// slanting cut would go through its holes and slots. Judgement, no source.
const drawnSquare = 0.4

// square is the share of the surface that lies square to an axis.
func square(m *mesh.Mesh) float64 {
	straight, all := 0.0, 0.0
	for i := range m.Tris {
		n := m.Normal(i)
		length := n.Len()
		all += length
		if max(math.Abs(n.X), math.Abs(n.Y), math.Abs(n.Z)) > 0.9999*length {
			straight += length
		}
	}
	return straight / max(all, 1e-9)
}

// normals are those along which to look for planes: the axes, the principal axes, and the
// directions of large faces and of good ways up.
func normals(m *mesh.Mesh, list []pose.Candidate) []mesh.Vec {
	all := []mesh.Vec{{Z: 1}, {Y: 1}, {X: 1}}
	take := func(n mesh.Vec) {
		near := func(k mesh.Vec) bool { return math.Abs(k.Dot(n)) > 0.996 } // 5 deg
		if len(all) < mostNormals && !slices.ContainsFunc(all, near) {
			all = append(all, n)
		}
	}
	if square(m) >= drawnSquare {
		return all
	}
	for _, n := range m.Spread().Axis {
		take(pose.Whole(n.Scale(-1)).Scale(-1))
	}
	large := slices.Clone(list)
	slices.SortStableFunc(large, func(a, b pose.Candidate) int { return -cmp.Compare(step(a.Contact), step(b.Contact)) })
	for i := 0; i < min(len(large), 3*mostNormals); i++ {
		if large[i].Contact >= leastSection {
			take(large[i].Down.Scale(-1))
		}
	}
	for i := 0; i < min(len(list), mostNormals); i++ { // by score
		take(list[i].Down.Scale(-1))
	}
	return all
}

// slope is a mesh seen along one normal.
type slope struct {
	mesh           *mesh.Mesh
	normal         mesh.Vec
	lo, hi         float64
	ups, downs     heights // faces that would hang if the normal pointed down, and up
	onTop, onFloor float64 // mm2 of flat faces at the ends
	flats          []float64
}

// heights are areas by height, in order, and their sums from the lowest on.
type heights struct {
	at, area []float64
	sums     []float64
}

// flush is up to how far from a level, in mm, a face lies in it.
const flush = 0.05

func newSlope(m *mesh.Mesh, n mesh.Vec, angle float64) *slope {
	s := &slope{mesh: m, normal: n, lo: math.Inf(1), hi: math.Inf(-1)}
	for _, v := range m.Verts {
		h := n.Dot(mesh.Of64(v))
		s.lo, s.hi = min(s.lo, h), max(s.hi, h)
	}
	steep, level := math.Sin(angle*math.Pi/180), map[float64]float64{} // looked up only
	for i := range m.Tris {
		normal := m.Normal(i)
		length := normal.Len()
		cosine := normal.Dot(n) / length
		if !(math.Abs(cosine) > steep) {
			continue
		}
		a, b, c := m.Corners(i)
		h, area := n.Dot(a.Add(b).Add(c))/3, float64(math.Abs(cosine)*length/2)
		ups := cosine > 0
		flat := math.Abs(cosine) > 0.9999
		switch {
		case flat && ups && h > s.hi-flush:
			s.onTop += area
			continue
		case flat && !ups && h < s.lo+flush:
			s.onFloor += area
			continue
		}
		if flat {
			if at := n.Dot(a); level[at] < leastSection {
				if level[at] += area; level[at] >= leastSection {
					s.flats = append(s.flats, at)
				}
			}
		}
		if ups {
			s.ups.add(h, area)
		} else {
			s.downs.add(h, area)
		}
	}
	s.ups.sum()
	s.downs.sum()
	return s
}

func (h *heights) add(at, area float64) { h.at, h.area = append(h.at, at), append(h.area, area) }

// sum puts the areas in order.
func (h *heights) sum() {
	order := make([]int, len(h.at))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(h.at[a], h.at[b]) })
	at, sums, sum := make([]float64, len(order)), make([]float64, len(order)+1), 0.0
	for i, k := range order {
		at[i] = h.at[k]
		sum += h.area[k]
		sums[i+1] = sum
	}
	h.at, h.sums = at, sums
}

// below is the area below a height, and above the area above it.
func (h *heights) below(z float64) float64 {
	i, _ := slices.BinarySearch(h.at, z)
	return h.sums[i]
}

func (h *heights) above(z float64) float64 { return h.sums[len(h.sums)-1] - h.below(z) }

// planes are the best along the normal, some way apart.
func (s *slope) planes() []plane {
	extent := s.hi - s.lo
	var offsets []float64
	for i := 1; i < heightSteps; i++ {
		offsets = append(offsets, math.Round(10*(s.lo+float64(extent*float64(i)/heightSteps)))/10)
	}
	offsets = append(offsets, s.flats...)
	offsets = slices.DeleteFunc(offsets, func(o float64) bool { return o < s.lo+float64(thinnest*extent) || o > s.hi-float64(thinnest*extent) })
	return s.spread(s.scored(offsets))
}

// spread takes the best of a list, some way apart.
func (s *slope) spread(list []plane) (best []plane) {
	sortPlanes(list)
	for _, p := range list {
		near := func(k plane) bool { return math.Abs(k.offset-p.offset) < planesApart*(s.hi-s.lo) }
		if len(best) < alongOne && p.section >= leastSection/2 && !slices.ContainsFunc(best, near) {
			best = append(best, p)
		}
	}
	return best
}

// scored gives planes at offsets their cheap scores.
func (s *slope) scored(offsets []float64) []plane {
	posed, place := s.mesh.Posed(pose.MatrixTo(s.normal.Scale(-1)))
	at := make([]float64, len(offsets))
	for i, o := range offsets {
		at[i] = o - place.Drop
	}
	list := make([]plane, len(offsets))
	for i, area := range cut.Areas(posed, at) {
		o := offsets[i]
		list[i] = plane{normal: s.normal, offset: o, section: area, hang: s.hang(o, area), middle: math.Abs(2*(o-s.lo)/(s.hi-s.lo) - 1)}
	}
	return list
}

// hang is what hangs of both pieces, each laid on the cut or on the flat at its other end.
func (s *slope) hang(o, section float64) float64 {
	foot := 0.0
	if section < leastSection {
		foot = 1e6 // no foot
	}
	above, below := s.downs.above(o+flush)+foot, s.ups.below(o-flush)+foot
	if s.onTop >= leastSection {
		above = min(above, s.ups.above(o+flush))
	}
	if s.onFloor >= leastSection {
		below = min(below, s.downs.below(o-flush))
	}
	return above + below
}
