package bore

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

const (
	// leastPart is how many degrees of the circle the round part of a hole covers at least
	// where something else closes it: with a point whose sides rise at 60 deg it is as many.
	// Judgement, no source.
	leastPart = 240
	// closedWay is how many degrees must be closed then. Judgement, no source.
	closedWay = 340
	// Corners of a round part stand off its circle less than those of a whole hole may, since
	// what bends on beside it may be nearly round. Judgement, no source.
	partShare, partLeast = 0.005, 0.002
	// flattestPart is how near to the axis a round part comes at least, for its radius: an
	// octagon's does at the cosine of 22.5 deg. Hexagons with a point are no round holes.
	flattestPart = 0.92
	// flattestFlat is the same for what closes it: that of a chord of 120 deg.
	flattestFlat = 0.5
	// farthest is how far from the axis walls may close a hole, for its radius: the tip of a
	// point whose sides rise at 60 deg.
	farthest = 2
	// trims is how often corners are left out, and trimmed is which: those that stand off by
	// so much of the most. In a hole with a flat top both corners of it stand off alike.
	trims, trimmed = 16, 0.7
)

// part lays a circle through most corners of an arc, leaving out those that stand off it
// farthest, and keeps the facets that lie along it.
func (f *finder) part(a arc, corners []uint32) (arc, bool) {
	c, ok := f.trim(&a, slices.Clone(corners))
	if !ok {
		return arc{}, false
	}
	off := max(partShare*c.r, partLeast)
	away := slices.DeleteFunc(corners, func(v uint32) bool { return c.stands(f.Mesh, v) <= off })
	slices.Sort(away)
	a.Tris = slices.DeleteFunc(a.Tris, func(t uint32) bool {
		x, y := c.facet(f.Mesh, t)
		for k, v := range f.Mesh.Tris[t] {
			if _, is := slices.BinarySearch(away, v); is {
				return true
			}
			if math.Hypot(x[k], y[k]) > c.r+off || toMiddle(x[k], y[k], x[(k+1)%3], y[(k+1)%3]) < float64(flattestPart*c.r)-off {
				return true
			}
		}
		return false
	})
	a.part = true
	return a, len(a.Tris) >= 3 && f.measure(&a, &c) && a.round >= leastPart
}

// trim finds the circle that at least half of the corners lie on.
func (f *finder) trim(a *arc, corners []uint32) (circle, bool) {
	least := (len(corners) + 1) / 2
	for range trims {
		if !f.tally.Add(int64(len(corners))) {
			break
		}
		c := f.circle(a, corners)
		if !(c.r > 0) {
			return c, false
		}
		most := c.off(f.Mesh, corners)
		if most <= max(partShare*c.r, partLeast) {
			return c, true
		}
		corners = slices.DeleteFunc(corners, func(v uint32) bool { return c.stands(f.Mesh, v) > trimmed*most })
		if len(corners) < least {
			break
		}
	}
	return circle{}, false
}

// facet is where the corners of a triangle lie beside the middle of the circle.
func (c *circle) facet(m *mesh.Mesh, t uint32) (x, y [3]float64) {
	for k, v := range m.Tris[t] {
		x[k], y[k] = c.at(mesh.Of64(m.Verts[v]))
	}
	return x, y
}

// stepCost is what a triangle costs in work that a walk along a wall comes by.
const stepCost = 3

// closed tells whether the round part of a hole and the walls that go on from it close the
// way round, and makes the hole no wider than they are. Walls are taken as long as they stand
// square to the axis, near it, and face it or the sides of it.
func (f *finder) closed(a *arc) bool {
	if a.round < leastPart || a.Diameter < 2*(float64(flattestPart*a.r)-max(partShare*a.r, partLeast)) {
		return false
	}
	if f.seen == nil {
		f.seen = make([]int32, len(f.Mesh.Tris))
	}
	f.walks++
	c := circle{u: across(a.Axis), origin: a.At, r: a.r}
	c.v = a.Axis.Cross(c.u)
	var covered degrees
	for _, t := range a.Tris {
		f.seen[t] = f.walks
		f.section(&covered, t, a, &c)
	}
	if a.round = covered.count(); a.round < leastPart {
		return false
	}
	walls := slices.Clone(a.Tris)
	inside := a.Diameter / 2
	for i := 0; i < len(walls) && f.tally.Add(stepCost); i++ {
		inside = min(inside, f.section(&covered, walls[i], a, &c))
		for h := 3 * walls[i]; h < 3*walls[i]+3; h++ {
			twin := f.Topo.Twin[h]
			if twin != mesh.None && f.seen[twin/3] != f.walks && f.closes(twin/3, &c, a) {
				f.seen[twin/3] = f.walks
				walls = append(walls, twin/3)
			}
		}
	}
	a.Diameter = 2 * inside
	return covered.count() >= closedWay && inside >= flattestFlat*a.r-max(offShare*a.r, offLeast)
}

// closes tells whether a triangle is part of a wall beside an arc and near it that does not
// face away from its middle.
func (f *finder) closes(t uint32, c *circle, a *arc) bool {
	n := f.Normal(t)
	if n == (mesh.Vec{}) || math.Abs(n.Dot(a.Axis)) > square {
		return false
	}
	off := max(offShare*c.r, offLeast)
	low, high := math.Inf(1), math.Inf(-1)
	x, y := c.facet(f.Mesh, t)
	for k, v := range f.Mesh.Tris[t] {
		if math.Hypot(x[k], y[k]) > farthest*c.r+off {
			return false
		}
		along := mesh.Of64(f.Mesh.Verts[v]).Sub(a.At).Dot(a.Axis)
		low, high = min(low, along), max(high, along)
	}
	return high > meet-a.Depth/2 && low < a.Depth/2-meet &&
		float64((x[0]+x[1]+x[2])*n.Dot(c.u))+float64((y[0]+y[1]+y[2])*n.Dot(c.v)) <= 3*off
}

// beside is how far from the middle of the depth of a hole it must be closed, for its depth:
// not in the middle itself, where bodies may meet or corners lie.
const beside = 0.0131

// section marks the degrees that a triangle covers in the plane near the middle of a hole in
// which it must be closed, and tells how near to the axis it comes there. Walls at other
// heights do not count: bars laid under a rim are no hole's width.
func (f *finder) section(covered *degrees, t uint32, a *arc, c *circle) (inside float64) {
	var p [3]mesh.Vec
	var along, x, y [3]float64
	for k, v := range f.Mesh.Tris[t] {
		p[k] = mesh.Of64(f.Mesh.Verts[v])
		along[k] = p[k].Sub(a.At).Dot(a.Axis) - float64(beside*a.Depth)
	}
	n := 0
	for k := range 3 {
		l := (k + 1) % 3
		if (along[k] < 0) != (along[l] < 0) {
			x[n], y[n] = c.at(p[k].Add(p[l].Sub(p[k]).Scale(along[k] / (along[k] - along[l]))))
			n++
		}
	}
	if n < 2 {
		return math.Inf(1)
	}
	x[2], y[2] = x[1], y[1]
	covered.cover(&x, &y)
	return toMiddle(x[0], y[0], x[1], y[1])
}
