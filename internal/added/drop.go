package added

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/cut"
	"printlint/internal/mesh"
)

// Drop is what to take away above a lying hole or channel so that its top is pointed like a
// drop: two planes at 45 degrees over its ceiling, which meet or end at a flat.
type Drop struct {
	Planes []cut.Plane // of the convex solid to take away
	Length float64     // along the hole
	Rise   float64     // of the point or the flat above the top of the hole as it is
	Flat   float64     // how wide the flat is; 0 at a point
}

const (
	// inset is how far from the edges of a ceiling the planes begin: a ledge narrower than any
	// line, so that no side of the solid lies in a wall of the hole. The solid reaches less far
	// into the hole.
	inset, dip = 0.04, 0.02
	// steepHole is how far a lying hole may lean from level, as the sine of 30 deg, and across
	// which of the edges of its ceiling runs along it, as the cosine of 26 deg.
	steepHole, alongHole = 0.5, 0.9
	// even is by which share of its width the edges of a ceiling may be off a straight line, and
	// whole which share of the box around it seen from above it fills. Judgement, no source.
	even, whole = 0.1, 0.8
	// endFace is from which share along the hole the normal of a face points that it ends at.
	endFace = 0.7
	// farthestEnd is how far, in mm, the face that a hole ends at may lean out above it.
	farthestEnd = 2.0
)

// CeilingOf is the ceiling that the flattest of the seeds is part of. It is nil where that is no
// strip between two straight edges, with a wall or the air at each end. The surface must be closed.
func CeilingOf(m *mesh.Mesh, t *mesh.Topology, seeds []uint32) *Ceiling {
	if len(seeds) == 0 {
		return nil
	}
	flattest := slices.MinFunc(seeds, func(a, b uint32) int {
		return cmp.Compare(m.Normal(int(a)).Unit().Z, m.Normal(int(b)).Unit().Z)
	})
	u := newUnderside(m, t, []uint32{flattest})
	if u == nil {
		return nil
	}
	c := &Ceiling{underside: u, in: make([]bool, len(m.Tris))}
	if !c.bound(t) || !c.lay() || !c.edges() || !c.ends() {
		return nil
	}
	return c
}

// Wide is how far apart the edges that hold it are.
func (c *Ceiling) Wide() float64 { return c.right.at - c.left.at }

// Narrow says that something may sit in the hole that it is the top of: a shaft or a screw.
func (c *Ceiling) Narrow() bool { return c.Wide() <= widestHole }

// Pointed says what to take away so that the hole is pointed, with a flat so wide at the top, or
// none. It is nil where it is pointed enough as it is, and where less than a wall, in mm, would be
// left above or beside what is taken.
func (c *Ceiling) Pointed(flat, wall float64) *Drop {
	point := (c.left.up+c.right.up+c.Wide())/2 - inset
	d := &Drop{Flat: flat, Length: c.high - c.low, Rise: point - flat/2 - c.top}
	if d.Rise <= inset || float64(max(c.lean[0], c.lean[1])*d.Rise) > farthestEnd {
		return nil
	}
	d.Planes = c.planes(flat, d.Rise, 0, -dip)
	if c.tight(c.planes(flat, d.Rise, wall, dip)) {
		return nil
	}
	return d
}

// Ceiling is the underside of a lying hole in a frame of its own: along the hole, across it, and
// up, square to both.
type Ceiling struct {
	*underside
	in                []bool // by triangle: part of it
	rim               []rimEdge
	along, across, up mesh.Vec
	low, high         float64 // its ends along the hole
	top               float64
	left, right       edge
	open              [2]bool    // whether an end is in the air
	lean              [2]float64 // how far the faces at the ends lean out for each mm up
}

// edge is one of the two that hold a ceiling on both sides.
type edge struct{ at, up float64 }

// rimEdge is an edge of a ceiling, with the triangle beside it.
type rimEdge struct {
	from, to mesh.Vec
	beside   uint32
	held     bool // the surface goes on below it
}

func (e *rimEdge) way() mesh.Vec { return e.to.Sub(e.from) }

// bound gathers the edges of the ceiling. At those that hold it the surface bends towards the air.
func (c *Ceiling) bound(t *mesh.Topology) bool {
	for _, i := range c.tris {
		c.in[i] = true
	}
	for _, i := range c.tris {
		for h := 3 * i; h < 3*i+3; h++ {
			twin := t.Twin[h]
			if twin == mesh.None {
				return false
			}
			if c.in[twin/3] {
				continue
			}
			from, to := c.mesh.Ends(h)
			third := c.mesh.Tris[twin/3][(twin%3+2)%3]
			e := rimEdge{from: mesh.Of64(c.mesh.Verts[from]), to: mesh.Of64(c.mesh.Verts[to]), beside: twin / 3}
			e.held = mesh.Of64(c.mesh.Verts[third]).Sub(e.from).Dot(c.mesh.Normal(int(i))) > 0
			c.rim = append(c.rim, e)
		}
	}
	return true
}

// lay finds the way that the hole goes, by the edges that hold its ceiling.
func (c *Ceiling) lay() bool {
	var ways mesh.Tensor
	for i := range c.rim {
		if e := &c.rim[i]; e.held {
			ways.Add(e.way().Unit(), e.way().Len())
		}
	}
	_, axes := ways.Axes()
	c.along = axes[2]
	if math.Abs(c.along.Z) > steepHole {
		return false
	}
	c.across = mesh.Vec{Z: 1}.Cross(c.along).Unit()
	c.up = c.along.Cross(c.across)
	return true
}

// edges finds the edges on both sides, and tells whether the ceiling is a strip between them.
func (c *Ceiling) edges() bool {
	box, area := mesh.EmptyBox(), 0.0
	for _, i := range c.tris {
		p, q, r := c.mesh.Corners(int(i))
		for _, v := range [3]mesh.Vec{p, q, r} {
			box.Include(c.of(v))
		}
		area -= c.mesh.Normal(int(i)).Dot(c.up) / 2
	}
	size := box.Size()
	c.low, c.high, c.top = box.Min.X, box.Max.X, box.Max.Z
	c.left, c.right = edge{math.Inf(-1), math.Inf(-1)}, edge{math.Inf(1), math.Inf(-1)}
	var long [2]float64 // how much of both sides is held
	for i := range c.rim {
		e := &c.rim[i]
		if !e.held || math.Abs(e.way().Unit().Dot(c.along)) < alongHole {
			continue
		}
		for _, v := range [2]mesh.Vec{c.of(e.from), c.of(e.to)} {
			side, by := &c.left, 0
			if v.Y > box.Middle().Y {
				side, by = &c.right, 1
			}
			long[by] += e.way().Len() / 2
			side.up = max(side.up, v.Z)
			if by == 0 {
				side.at = max(side.at, v.Y)
			} else {
				side.at = min(side.at, v.Y)
			}
		}
	}
	off := float64(even * size.Y)
	return min(long[0], long[1]) >= float64(whole*size.X) && area >= float64(whole*size.X)*size.Y &&
		c.left.at-box.Min.Y <= off && box.Max.Y-c.right.at <= off && math.Abs(c.left.up-c.right.up) <= off &&
		min(c.left.up, c.right.up)-box.Min.Z <= off
}

// of is a point in the frame of the ceiling.
func (c *Ceiling) of(v mesh.Vec) mesh.Vec {
	return mesh.Vec{X: v.Dot(c.along), Y: v.Dot(c.across), Z: v.Dot(c.up)}
}

// ends tells how the hole ends on both sides: at a wall that goes down from the ceiling, or in
// the air below a face that goes up.
func (c *Ceiling) ends() bool {
	c.open = [2]bool{true, true}
	for i := range c.rim {
		e := &c.rim[i]
		if math.Abs(e.way().Unit().Dot(c.along)) >= alongHole {
			continue
		}
		end := 0
		if c.of(e.from.Add(e.to).Scale(0.5)).X > (c.low+c.high)/2 {
			end = 1
		}
		n := c.mesh.Normal(int(e.beside)).Unit()
		switch straight := math.Abs(n.Dot(c.along)); {
		case e.held:
			c.open[end] = false
		case straight < endFace:
			return false
		default:
			c.lean[end] = max(c.lean[end], -n.Dot(c.up)/straight)
		}
	}
	return true
}

// planes are those of what to take away, wider by a wall where something must be left, from a
// little above or below the edges of the ceiling.
func (c *Ceiling) planes(flat, rise, wall, above float64) []cut.Plane {
	slant := math.Sqrt2 / 2
	side := func(e edge, sign float64) cut.Plane {
		n := c.across.Scale(sign).Add(c.up).Scale(slant)
		return cut.Plane{Normal: n, Offset: float64(slant*(float64(sign*e.at)+e.up-inset)) + wall}
	}
	list := []cut.Plane{
		{Normal: c.up.Scale(-1), Offset: -max(c.left.up, c.right.up) - above},
		side(c.left, -1), side(c.right, 1),
	}
	if flat > 0 {
		list = append(list, cut.Plane{Normal: c.up, Offset: c.top + rise + wall})
	}
	for end, at := range [2]float64{-c.low, c.high} {
		by := wall - inset
		if c.open[end] {
			by = float64(c.lean[end]*rise) + dip
		}
		list = append(list, cut.Plane{Normal: c.along.Scale(float64(2*end - 1)), Offset: at + by})
	}
	return list
}

// tight says that something other than the ceiling and the faces at open ends lies within the
// planes, so that too little would be left.
func (c *Ceiling) tight(planes []cut.Plane) bool {
	for i := range c.mesh.Tris {
		if c.in[i] {
			continue
		}
		p, q, r := c.mesh.Corners(i)
		n := c.mesh.Normal(i).Unit()
		if straight := n.Dot(c.along); straight <= -endFace && c.open[0] || straight >= endFace && c.open[1] {
			continue
		}
		if cut.Meets(planes, p, q, r) {
			return true
		}
	}
	return false
}
