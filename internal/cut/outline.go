package cut

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// corner is a corner of an outline in the plane, seen from outside the piece that is kept.
type corner struct {
	x, y float64
	v    uint32
}

// outline is a closed line around solid, counter-clockwise, or around a hole, clockwise.
type outline []corner

// turn is twice the signed area of the triangle a b c.
func turn(a, b, c corner) float64 {
	return float64((b.x-a.x)*(c.y-a.y)) - float64((b.y-a.y)*(c.x-a.x))
}

func same(a, b corner) bool { return a.x == b.x && a.y == b.y }

// area is twice the signed area.
func (o outline) area() float64 {
	sum := 0.0
	for i := 2; i < len(o); i++ {
		sum += turn(o[0], o[i-1], o[i])
	}
	return sum
}

// contains says whether p lies inside, by the edges that a ray to the right meets.
func (o outline) contains(p corner) bool {
	in := false
	for i, a := range o {
		b := o[(i+1)%len(o)]
		if a.y > p.y != (b.y > p.y) && (turn(a, b, p) > 0) == (b.y > a.y) {
			in = !in
		}
	}
	return in
}

// cap closes the rim by triangles in the plane, and the holes in it by walls and floors.
func (c *cutter) cap(drilled []Hole, tally *work.Tally) ([]mesh.Tri, error) {
	var solids, holes []outline
	for _, o := range c.outlines() {
		if c.straight != nil && len(o) > 2 {
			var err error
			if o, err = c.straight(o); err != nil {
				return nil, err
			}
		}
		switch area := o.area(); {
		case len(o) < 3: // two sides that close each other
		case area > 0:
			solids = append(solids, o)
		case area < 0:
			holes = append(holes, o)
		default:
			return nil, ErrSection
		}
	}
	inside := make([][]outline, len(solids))
	for _, h := range holes {
		k, least := -1, math.Inf(1)
		for i, s := range solids {
			if !tally.Add(int64(len(s))) {
				return nil, nil
			}
			if area := s.area(); area < least && area > -h.area() && s.contains(h[0]) {
				k, least = i, area
			}
		}
		if k < 0 {
			return nil, ErrSection
		}
		inside[k] = append(inside[k], h)
	}
	tris, err := c.drill(drilled, solids, inside, tally)
	if err != nil {
		return nil, err
	}
	for i, s := range solids {
		list, err := triangulate(s, inside[i], tally)
		if err != nil {
			return nil, err
		}
		tris = append(tris, list...)
	}
	return tris, nil
}

// corner is a corner of the rim as it is seen from outside: from below where what lies
// above is kept.
func (c *cutter) corner(v uint32) corner {
	if c.seen != nil {
		x, y := c.seen(v)
		return corner{x, y, v}
	}
	p := c.to.Verts[v]
	if c.side > 0 {
		return corner{float64(p[1]), float64(p[0]), v}
	}
	return corner{float64(p[0]), float64(p[1]), v}
}

// outlines joins the sides of the rim to closed lines, which run against them. Where several
// meet in a corner, each line turns as far to the left as it can, so that bodies which
// touch there stay apart.
func (c *cutter) outlines() []outline {
	sides := make([][2]uint32, len(c.rim))
	for i, s := range c.rim {
		sides[i] = [2]uint32{s[1], s[0]}
	}
	slices.SortFunc(sides, func(a, b [2]uint32) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	used := make([]bool, len(sides))
	next := func(from, at uint32) int {
		first, _ := slices.BinarySearchFunc(sides, at, func(s [2]uint32, v uint32) int { return cmp.Compare(s[0], v) })
		best, most := -1, math.Inf(-1)
		for i := first; i < len(sides) && sides[i][0] == at; i++ {
			if used[i] {
				continue
			}
			if angle := bend(c.corner(from), c.corner(at), c.corner(sides[i][1])); angle > most {
				best, most = i, angle
			}
		}
		return best
	}
	var list []outline
	for i := range sides {
		if used[i] {
			continue
		}
		start := sides[i][0]
		o := outline{}
		for k := i; k >= 0; {
			used[k] = true
			o = append(o, c.corner(sides[k][0]))
			if sides[k][1] == start {
				break
			}
			k = next(sides[k][0], sides[k][1])
		}
		list = append(list, o)
	}
	return list
}

// bend is the angle by which the way from a over b to c turns to the left; straight back
// is the least.
func bend(a, b, c corner) float64 {
	ux, uy, vx, vy := b.x-a.x, b.y-a.y, c.x-b.x, c.y-b.y
	angle := math.Atan2(float64(ux*vy)-float64(uy*vx), float64(ux*vx)+float64(uy*vy))
	if angle == math.Pi {
		return -math.Pi
	}
	return angle
}
