package plain

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// Round is a round hole: the circle within its wall, how far that goes along its axis, and
// where the middle of it lies.
type Round struct {
	Diameter, Depth float64
	At, Axis        mesh.Vec
	Full            bool // no point or flat closes it
}

// facet is a triangle with the direction that it faces.
type facet struct {
	p [3]mesh.Vec
	n mesh.Vec
}

// side is a stretch of wall seen along an axis: its ends, and from where to where it goes
// along the axis.
type side struct{ a, b, along [2]float64 }

// Holes finds round holes among triangles that share corners: wherever two sides of a wall
// meet in a shallow valley, both are chords of one circle, whose middle lies on what cuts each
// of them in half. All sides with their ends on that circle are looked for, anywhere. Where they go round in
// part, other walls must close the rest.
func Holes(s *mesh.Triangles) (found []Round) {
	var list []facet
	for t := 0; t+2 < len(s.Corners); t += 3 {
		f := facet{p: [3]mesh.Vec{mesh.Of64(s.Corners[t]), mesh.Of64(s.Corners[t+1]), mesh.Of64(s.Corners[t+2])}}
		f.n = f.p[1].Sub(f.p[0]).Cross(f.p[2].Sub(f.p[0])).Unit()
		list = append(list, f)
	}
	for i := range list {
		for j := range i {
			axis := list[i].n.Cross(list[j].n)
			bend := math.Atan2(axis.Len(), list[i].n.Dot(list[j].n))
			if bend < 0.6*math.Pi/180 || bend > 60.5*math.Pi/180 || !valleyOf(&list[i], &list[j]) {
				continue
			}
			if h, ok := roundOf(list, &list[i], &list[j], axis.Unit()); ok && !slices.ContainsFunc(found, h.is) {
				found = append(found, h)
			}
		}
	}
	return found
}

// is tells whether two holes are the same.
func (h *Round) is(o Round) bool {
	return h.At.Sub(o.At).Len() < 0.02 && math.Abs(h.Diameter-o.Diameter) < 0.02
}

// valleyOf tells whether two triangles have two corners in common and each rises before the other.
func valleyOf(f, g *facet) bool {
	same := 0
	for _, p := range f.p {
		for _, q := range g.p {
			if p == q {
				same++
			}
		}
	}
	rises := 0.0
	for _, q := range g.p {
		rises = max(rises, q.Sub(f.p[0]).Dot(f.n))
	}
	return same == 2 && rises > 1e-4
}

// roundOf finds the hole that two sides of it belong to.
func roundOf(list []facet, f, g *facet, axis mesh.Vec) (Round, bool) {
	u := f.n
	v := axis.Cross(u)
	var wall []side
	for i := range list {
		if math.Abs(list[i].n.Dot(axis)) < 0.01 {
			wall = append(wall, sideOf(list, &list[i], axis, u, v))
		}
	}
	one, two := sideOf(list, f, axis, u, v), sideOf(list, g, axis, u, v)
	x, y, ok := middleOf(one, two)
	if !ok {
		return Round{}, false
	}
	r := math.Hypot(one.a[0]-x, one.a[1]-y)
	low, high, inside, flattest := one.along[0], one.along[1], r, 0.0
	var seen circleOf
	for grown := true; grown; {
		grown, inside, flattest, seen = false, r, 0, circleOf{}
		for _, w := range wall {
			a, b := [2]float64{w.a[0] - x, w.a[1] - y}, [2]float64{w.b[0] - x, w.b[1] - y}
			turn := math.Atan2(a[0]*b[1]-a[1]*b[0], a[0]*b[0]+a[1]*b[1])
			if math.Abs(math.Hypot(a[0], a[1])-r) > 0.015 || math.Abs(math.Hypot(b[0], b[1])-r) > 0.015 || turn <= 0 ||
				turn > 61*math.Pi/180 || w.along[0] > high+0.02 || w.along[1] < low-0.02 {
				continue
			}
			grown = grown || w.along[0] < low || w.along[1] > high
			low, high = min(low, w.along[0]), max(high, w.along[1])
			inside, flattest = min(inside, r*math.Cos(turn/2)), max(flattest, turn)
			seen.mark(a, turn)
		}
	}
	full := seen.turned() >= 300
	if !full {
		if seen.turned() < 240 || flattest > 46*math.Pi/180 {
			return Round{}, false
		}
		inside = min(inside, seen.close(wall, x, y, r, (low+high)/2))
		if seen.turned() < 340 || inside < r/2 {
			return Round{}, false
		}
	}
	at := u.Scale(x).Add(v.Scale(y)).Add(axis.Scale((low + high) / 2))
	return Round{2 * inside, high - low, at, axis, full}, true
}

// circleOf tells for each degree whether there is a wall.
type circleOf [360]bool

// mark marks what a side covers that begins at a place and goes on by an angle.
func (c *circleOf) mark(a [2]float64, turn float64) {
	from := math.Atan2(a[1], a[0]) * 180 / math.Pi
	for d := int(math.Floor(from)); float64(d) < from+turn*180/math.Pi; d++ {
		c[(d+720)%360] = true
	}
}

func (c *circleOf) turned() (n int) {
	for _, is := range c {
		if is {
			n++
		}
	}
	return n
}

// close marks what any walls close at one height that face the middle and lie no farther from
// it than the circle is wide, and tells how near to it they come.
func (c *circleOf) close(wall []side, x, y, r, at float64) float64 {
	inside := math.Inf(1)
	for _, w := range wall {
		a, b := [2]float64{w.a[0] - x, w.a[1] - y}, [2]float64{w.b[0] - x, w.b[1] - y}
		turn := math.Atan2(a[0]*b[1]-a[1]*b[0], a[0]*b[0]+a[1]*b[1])
		long := math.Hypot(b[0]-a[0], b[1]-a[1])
		if turn > 0 && w.along[0] < at && at < w.along[1] && max(math.Hypot(a[0], a[1]), math.Hypot(b[0], b[1])) < 2*r+0.02 {
			c.mark(a, turn)
			inside = min(inside, (a[0]*b[1]-a[1]*b[0])/long)
		}
	}
	return inside
}

// sideOf is the whole flat side that a facet is part of, with the air on the left from a to b.
func sideOf(list []facet, f *facet, axis, u, v mesh.Vec) side {
	way := axis.Cross(f.n)
	low, high, from, to := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range list {
		g := &list[i]
		if f.n.Dot(g.n) < 0.99999 || math.Abs(g.p[0].Sub(f.p[0]).Dot(f.n)) > 1e-3 || !near(f, g) {
			continue
		}
		for _, p := range g.p {
			low, high = min(low, p.Dot(way)), max(high, p.Dot(way))
			from, to = min(from, p.Dot(axis)), max(to, p.Dot(axis))
		}
	}
	foot := f.n.Scale(f.p[0].Dot(f.n))
	a, b := foot.Add(way.Scale(high)), foot.Add(way.Scale(low))
	return side{[2]float64{a.Dot(u), a.Dot(v)}, [2]float64{b.Dot(u), b.Dot(v)}, [2]float64{from, to}}
}

// near tells whether two triangles have a corner in common.
func near(f, g *facet) bool {
	for _, p := range f.p {
		for _, q := range g.p {
			if p == q {
				return true
			}
		}
	}
	return false
}

// middleOf is where the lines meet that cut two chords in half, square to them.
func middleOf(c, d side) (x, y float64, ok bool) {
	cx, cy, dx, dy := c.b[0]-c.a[0], c.b[1]-c.a[1], d.b[0]-d.a[0], d.b[1]-d.a[1]
	det := cx*dy - cy*dx
	if math.Abs(det) < 1e-9 {
		return 0, 0, false
	}
	e := (cx*(c.a[0]+c.b[0]) + cy*(c.a[1]+c.b[1])) / 2
	f := (dx*(d.a[0]+d.b[0]) + dy*(d.a[1]+d.b[1])) / 2
	return (e*dy - f*cy) / det, (cx*f - dx*e) / det, true
}
