package bore

import (
	"math"
	"math/bits"
	"slices"

	"printlint/internal/mesh"
)

// arc is a piece of surface that lies on a circle around an axis.
type arc struct {
	Hole
	round float64 // degrees of the circle that it covers
	r     float64 // radius of the circle through its corners
	part  bool    // not all of the piece lies on the circle
}

const (
	// square is how far a facet of a wall may be from square to the axis, as the sine of 2 deg:
	// steeper than that it is a cone. Judgement, no source.
	square = 0.03489949670250097
	// loose is the same for the first guess of an axis.
	loose = 0.1
	// cone is up to where a facet that is too steep still counts against the wall, as the
	// sine of 45 deg, and share is how much of both must be wall: else it is a ball or a funnel.
	cone, share = 0.7071, 0.3
	// Corners may stand off the circle by a fiftieth of its radius or a twentieth of a line,
	// whichever is more: what is rougher is no round hole. Judgement, no source.
	offShare, offLeast = 0.02, 0.02
	// flattest is how near to the axis a wall comes at least, for its radius: a hexagon's does at
	// the cosine of 30 deg, a slot's or a square's nearer.
	flattest = 0.857
	// ruling is how nearly along the axis an edge runs that is a corner of the wall, as the
	// cosine of 2 deg.
	ruling = 0.9993908270190958
)

// axes guesses where the axis of a piece points: along its valleys, or square to its normals.
func (f *finder) axes(tris []uint32) [2]mesh.Vec {
	var along, across mesh.Tensor
	root := f.pieces.Root(tris[0])
	for _, t := range tris {
		n := f.Normal(t)
		across.Add(n, f.doubleArea(t))
		for h := 3 * t; h < 3*t+3; h++ {
			twin := f.Topo.Twin[h]
			if twin == mesh.None || twin < h || f.pieces.Root(twin/3) != root {
				continue
			}
			_, way := f.Edge(h)
			along.Add(n.Cross(f.Normal(twin/3)), way.Len())
		}
	}
	_, ways := along.Axes()
	_, normals := across.Axes()
	return [2]mesh.Vec{ways[2], normals[0]}
}

// fit lays a circle through the facets of a list that stand square to an axis, and tells
// whether they lie on it; or, where asked for, whether a large part of them does.
func (f *finder) fit(tris []uint32, axis mesh.Vec, part bool) (arc, bool) {
	if axis = f.refine(tris, axis); axis == (mesh.Vec{}) {
		return arc{}, false
	}
	a := arc{Hole: Hole{Axis: axis, Box: mesh.EmptyBox()}}
	wall, against := 0.0, 0.0
	for _, t := range tris {
		n := f.Normal(t)
		lean := math.Abs(n.Dot(axis))
		if n == (mesh.Vec{}) || lean > cone {
			continue
		}
		if area := f.doubleArea(t); lean > square {
			against += area
		} else {
			wall += area
			a.Tris = append(a.Tris, t)
		}
	}
	if wall < share*(wall+against) || len(a.Tris) < 3 {
		return arc{}, false
	}
	corners := f.corners(&a)
	c := f.circle(&a, corners)
	if c.r > 0 && c.off(f.Mesh, corners) <= max(offShare*c.r, offLeast) {
		if whole := a; f.measure(&whole, &c) {
			return whole, true
		}
	}
	if !part {
		return arc{}, false
	}
	return f.part(a, corners)
}

// refine finds the axis that the normals of those facets stand square to that are near
// enough to it already.
func (f *finder) refine(tris []uint32, axis mesh.Vec) mesh.Vec {
	for _, limit := range []float64{loose, square} {
		var across mesh.Tensor
		n := 0
		for _, t := range tris {
			if v := f.Normal(t); math.Abs(v.Dot(axis)) <= limit && v != (mesh.Vec{}) {
				across.Add(v, f.doubleArea(t))
				n++
			}
		}
		if n < 3 {
			return mesh.Vec{}
		}
		_, normals := across.Axes()
		axis = normals[0]
	}
	return axis
}

// circle is a circle around the axis of an arc, in a frame of its own.
type circle struct {
	u, v   mesh.Vec // across the axis
	origin mesh.Vec
	x, y   float64
	r      float64
}

// at is where a corner lies beside the middle of the circle.
func (c *circle) at(p mesh.Vec) (x, y float64) {
	d := p.Sub(c.origin)
	return d.Dot(c.u) - c.x, d.Dot(c.v) - c.y
}

// corners lists the vertices where the wall of an arc bends or ends: corners of the polygon
// that it is. Others may lie in the middle of a flat side.
func (f *finder) corners(a *arc) (list []uint32) {
	for _, t := range a.Tris {
		for h := 3 * t; h < 3*t+3; h++ {
			from, to := f.Mesh.Ends(h)
			hollow, joined := false, false
			if twin := f.Topo.Twin[h]; twin != mesh.None {
				hollow, joined = f.meet(h, twin)
			}
			if !hollow && !joined {
				_, way := f.Edge(h)
				hollow = math.Abs(way.Unit().Dot(a.Axis)) > ruling
			}
			if hollow {
				list = append(list, from, to)
			}
		}
	}
	return list
}

// circle lays a circle through the corners of an arc so that the squares of their distances
// differ least from that of its radius (Kasa 1976, from memory); its radius is 0 where they
// lie on a line.
func (f *finder) circle(a *arc, corners []uint32) circle {
	c := circle{u: across(a.Axis)}
	c.v = a.Axis.Cross(c.u)
	if len(corners) == 0 {
		return c
	}
	n := float64(len(corners))
	for _, v := range corners {
		c.origin = c.origin.Add(mesh.Of64(f.Mesh.Verts[v]))
	}
	c.origin = c.origin.Scale(1 / n)
	var xx, xy, yy, xq, yq float64
	for _, v := range corners {
		x, y := c.at(mesh.Of64(f.Mesh.Verts[v]))
		q := float64(x*x) + float64(y*y)
		xx += float64(x * x)
		xy += float64(x * y)
		yy += float64(y * y)
		xq += float64(x * q)
		yq += float64(y * q)
	}
	det := float64(xx*yy) - float64(xy*xy)
	if !(det > 1e-9*float64((xx+yy)*(xx+yy))) {
		return c
	}
	c.x = (float64(xq*yy) - float64(yq*xy)) / (2 * det)
	c.y = (float64(yq*xx) - float64(xq*xy)) / (2 * det)
	c.r = math.Sqrt(float64(c.x*c.x) + float64(c.y*c.y) + (xx+yy)/n)
	return c
}

// off is how far a corner stands off the circle at most.
func (c *circle) off(m *mesh.Mesh, corners []uint32) (most float64) {
	for _, v := range corners {
		most = max(most, c.stands(m, v))
	}
	return most
}

// stands is how far one corner stands off the circle.
func (c *circle) stands(m *mesh.Mesh, v uint32) float64 {
	return math.Abs(math.Hypot(c.at(mesh.Of64(m.Verts[v]))) - c.r)
}

// measure fills in what is known of an arc once its circle is, and tells whether all of it
// lies along the circle and faces its middle.
func (f *finder) measure(a *arc, c *circle) bool {
	off := max(offShare*c.r, offLeast)
	inside, low, high := math.Inf(1), math.Inf(1), math.Inf(-1)
	var covered degrees
	for _, t := range a.Tris {
		var x, y [3]float64
		n := f.Normal(t)
		for k, v := range f.Mesh.Tris[t] {
			p := mesh.Of64(f.Mesh.Verts[v])
			x[k], y[k] = c.at(p)
			if math.Hypot(x[k], y[k]) > c.r+off || float64(x[k]*n.Dot(c.u))+float64(y[k]*n.Dot(c.v)) >= 0 {
				return false
			}
			along := p.Sub(c.origin).Dot(a.Axis)
			low, high = min(low, along), max(high, along)
			a.Box.Include(p)
		}
		for k := range 3 {
			inside = min(inside, toMiddle(x[k], y[k], x[(k+1)%3], y[(k+1)%3]))
		}
		covered.cover(&x, &y)
	}
	a.r, a.round = c.r, covered.count()
	a.Diameter, a.Depth = 2*inside, high-low
	a.At = c.origin.Add(c.u.Scale(c.x)).Add(c.v.Scale(c.y)).Add(a.Axis.Scale((low + high) / 2))
	a.Sides = f.sides(a, c)
	return inside >= float64(flattest*c.r)-off
}

// toMiddle is how far a stretch passes from the middle.
func toMiddle(x0, y0, x1, y1 float64) float64 {
	dx, dy := x1-x0, y1-y0
	long := float64(dx*dx) + float64(dy*dy)
	part := 0.0
	if long > 0 {
		part = min(1, max(0, -(float64(x0*dx)+float64(y0*dy))/long))
	}
	return math.Hypot(x0+float64(part*dx), y0+float64(part*dy))
}

// degrees are those of a circle, with a bit for each that is covered.
type degrees [6]uint64

func (covered *degrees) count() (n float64) {
	for _, w := range covered {
		n += float64(bits.OnesCount64(w))
	}
	return n
}

// cover marks the degrees that a facet covers, given its corners.
func (covered *degrees) cover(x, y *[3]float64) {
	var turn [3]float64
	for k := range turn {
		turn[k] = math.Atan2(y[k], x[k])
	}
	low, high := 0.0, 0.0 // from the first corner
	for _, t := range turn[1:] {
		d := math.Remainder(t-turn[0], 2*math.Pi)
		low, high = min(low, d), max(high, d)
	}
	const degree = math.Pi / 180
	for d := int(math.Floor((turn[0] + low) / degree)); float64(d) < (turn[0]+high)/degree; d++ {
		at := (d%360 + 360) % 360
		covered[at/60] |= 1 << (at % 60)
	}
}

// sides counts the directions that the facets of an arc face.
func (f *finder) sides(a *arc, c *circle) int {
	turns := make([]float64, len(a.Tris))
	for i, t := range a.Tris {
		n := f.Normal(t)
		turns[i] = math.Atan2(n.Dot(c.v), n.Dot(c.u))
	}
	slices.Sort(turns)
	const same = 0.5 * math.Pi / 180
	n, last := 0, turns[len(turns)-1]-2*math.Pi
	for _, v := range turns {
		if v-last > same {
			n++
		}
		last = v
	}
	return max(n, 1)
}

// doubleArea is twice the area of a triangle, in mm2.
func (f *finder) doubleArea(t uint32) float64 { return f.Mesh.Normal(int(t)).Len() }
