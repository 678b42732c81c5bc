package cut

import (
	"math"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Plane is the side of a plane that lies against its normal, which has length 1: the points p
// with Normal·p up to Offset, in mm.
type Plane struct {
	Normal mesh.Vec
	Offset float64
}

// beyond is how far a point lies on the other side.
func (p Plane) beyond(v mesh.Vec) float64 { return p.Normal.Dot(v) - p.Offset }

// axes are two directions in the plane, so that it is seen from its other side.
func (p Plane) axes() (u, v mesh.Vec) {
	other := mesh.Vec{X: 1}
	if math.Abs(p.Normal.X) > 0.6 {
		other = mesh.Vec{Y: 1}
	}
	u = other.Cross(p.Normal).Unit()
	return u, p.Normal.Cross(u)
}

// Away takes what lies within all the planes away from a closed surface. It returns the rest and
// what was taken, both closed; where nothing lies there, the surface itself and nil. Triangles
// that reach nowhere within the planes stay as they are, but for corners on their sides where
// others beside them were cut. What it costs counts for the meter.
func Away(meter *work.Meter, m *mesh.Mesh, planes []Plane) (rest, taken *mesh.Mesh, err error) {
	c := &carver{from: m, places: make([]mesh.Vec, len(m.Verts)), at: map[mesh.Vec]uint32{}, split: map[side]uint32{}}
	for i, v := range m.Verts {
		c.places[i] = mesh.Of64(v)
	}
	c.within = make([]facet, 0, len(m.Tris))
	for t := range m.Tris {
		c.within = append(c.within, facet{corners: m.Tris[t][:], from: int32(t)})
	}
	for k, p := range planes {
		if err := meter.Spend(triCost * int64(len(c.within))); err != nil {
			return nil, nil, err
		}
		tally := meter.Tally()
		err := c.cut(p, int32(-1-k), &tally)
		if ended := tally.Close(); ended != nil {
			return nil, nil, ended
		}
		if err != nil {
			return nil, nil, err
		}
	}
	if len(c.within) == 0 {
		return m, nil, nil
	}
	return c.rest(), c.taken(), nil
}

// facet is a flat piece of surface with convex sides, part of a triangle or, where from is below
// zero, of the cap in plane -1-from.
type facet struct {
	corners []uint32
	from    int32
}

// side is one of a facet, the lower corner first.
type side [2]uint32

func sideOf(a, b uint32) side { return side{min(a, b), max(a, b)} }

// carver cuts facets by one plane after the other. All that share a side find the same corner
// where a plane cuts it, so that no gap opens between them.
type carver struct {
	from   *mesh.Mesh
	places []mesh.Vec // of corners, first those of the surface; rounded only at the end, so that outlines stay simple
	at     map[mesh.Vec]uint32
	split  map[side]uint32 // the corner that a side was cut at
	within []facet         // what lies within all planes so far
	beyond []facet         // what is left of triangles that were cut
}

// cut takes what lies beyond the plane off, and closes what is left by a cap.
func (c *carver) cut(p Plane, number int32, tally *work.Tally) error {
	u, v := p.axes()
	lid := &cutter{seen: func(i uint32) (x, y float64) { return c.places[i].Dot(u), c.places[i].Dot(v) }}
	far := func(i uint32) float64 { return p.beyond(c.places[i]) }
	kept := c.within[:0:0]
	for _, f := range c.within {
		in := 0
		for _, i := range f.corners {
			if far(i) < 0 {
				in++
			}
		}
		switch in {
		case len(f.corners):
			kept = append(kept, f)
		case 0:
			c.leave(f)
		default:
			near, rest, rim := c.parts(f, far)
			c.leave(rest)
			if len(near.corners) > 2 {
				kept = append(kept, near)
			}
			if rim[0] != rim[1] {
				lid.rim = append(lid.rim, rim)
			}
		}
	}
	lid.straight = c.straight
	tris, err := lid.cap(nil, tally)
	if err != nil {
		return err
	}
	for i := range tris {
		f := facet{corners: tris[i][:], from: number}
		f.corners = c.around(f)
		kept = append(kept, f)
	}
	c.within = kept
	return nil
}

// leave keeps what lies beyond a plane, if it is part of the surface: of caps nothing is left,
// since what they close off is none.
func (c *carver) leave(f facet) {
	if f.from >= 0 && len(f.corners) > 2 {
		c.beyond = append(c.beyond, f)
	}
}

// parts cuts a facet: what lies near, what lies beyond, and the side of the near one that lies
// in the plane. A corner in the plane lies beyond it.
func (c *carver) parts(f facet, far func(uint32) float64) (near, rest facet, rim [2]uint32) {
	near.from, rest.from = f.from, f.from
	for k, a := range f.corners {
		b := f.corners[(k+1)%len(f.corners)]
		in, next := far(a) < 0, far(b) < 0
		if in {
			near.corners = put(near.corners, a)
		} else {
			rest.corners = put(rest.corners, a)
		}
		if in == next {
			continue
		}
		v := c.corner(a, b, far)
		near.corners, rest.corners = put(near.corners, v), put(rest.corners, v)
		if in {
			rim[0] = v
		} else {
			rim[1] = v
		}
	}
	near.corners, rest.corners = closed(near.corners), closed(rest.corners)
	return near, rest, rim
}

// put appends a corner, unless it is the last one already.
func put(list []uint32, v uint32) []uint32 {
	if len(list) > 0 && list[len(list)-1] == v {
		return list
	}
	return append(list, v)
}

// closed drops a last corner that is the first.
func closed(list []uint32) []uint32 {
	for len(list) > 1 && list[0] == list[len(list)-1] {
		list = list[:len(list)-1]
	}
	return list
}

// corner is where a side passes the plane.
func (c *carver) corner(a, b uint32, far func(uint32) float64) uint32 {
	key := sideOf(a, b)
	a, b = key[0], key[1]
	da, db := far(a), far(b)
	switch {
	case da == 0:
		return a
	case db == 0:
		return b
	}
	if v, known := c.split[key]; known {
		return v
	}
	p, q := c.places[a], c.places[b]
	place := p.Add(q.Sub(p).Scale(da / (da - db)))
	v, known := c.at[place]
	switch {
	case place.Sub(p).Len() <= hair:
		return a
	case place.Sub(q).Len() <= hair:
		return b
	case !known:
		v = uint32(len(c.places))
		c.at[place] = v
		c.places = append(c.places, place)
	}
	c.split[key] = v
	return v
}

// straight takes corners out of an outline in which it does not bend, as where it crosses many
// triangles of one face: rounding alone would decide which way. The sides of the cap are cut
// at them when it is done.
func (c *carver) straight(o outline) (outline, error) {
	first := 0
	away := func(i int) float64 { return math.Hypot(o[i].x-o[0].x, o[i].y-o[0].y) }
	for i := range o {
		if away(i) > away(first) {
			first = i // bends, since nothing is farther from the one
		}
	}
	var out outline
	last := o[first]
	var run []uint32
	for k := 1; k <= len(o); k++ {
		at, next := o[(first+k)%len(o)], o[(first+k+1)%len(o)]
		if k < len(o) && onWay(last, at, next) {
			run = append(run, at.v)
			continue
		}
		out = append(out, last)
		from := last.v
		for _, v := range run {
			if _, known := c.split[sideOf(from, at.v)]; known {
				return nil, ErrSection
			}
			c.split[sideOf(from, at.v)] = v
			from = v
		}
		last, run = at, nil
	}
	return out, nil
}

// hair is how far, in mm, a corner may lie beside the line between its neighbours that is straight,
// and from the end of a side that is this end, so that files can hold the triangles there. No
// printer shows as much.
const hair = 1e-4

// onWay says that b lies on the way from a to c.
func onWay(a, b, c corner) bool {
	dx, dy := c.x-a.x, c.y-a.y
	long := math.Hypot(dx, dy)
	along := float64((b.x-a.x)*dx) + float64((b.y-a.y)*dy)
	return math.Abs(turn(a, b, c)) <= hair*long && along >= 0 && along <= float64(long*long)
}

// Meets says that a piece of a triangle lies within all the planes.
func Meets(planes []Plane, corners ...mesh.Vec) bool {
	ring := make([]mesh.Vec, 0, 16)
	ring = append(ring, corners...)
	next := make([]mesh.Vec, 0, 16)
	for _, p := range planes {
		next = next[:0]
		for k, a := range ring {
			b := ring[(k+1)%len(ring)]
			da, db := p.beyond(a), p.beyond(b)
			if da < 0 {
				next = append(next, a)
			}
			if da < 0 != (db < 0) {
				next = append(next, a.Add(b.Sub(a).Scale(da/(da-db))))
			}
		}
		if len(next) < 3 {
			return false
		}
		ring, next = next, ring
	}
	return true
}

// Bounds says that a triangle lies in one of the planes and within all others, as far as files
// can hold it: it bounds what was taken away.
func Bounds(planes []Plane, corners ...mesh.Vec) bool {
	const near = 1e-3 // mm
	in := false
	for _, p := range planes {
		flat := true
		for _, v := range corners {
			d := p.beyond(v)
			if d > near {
				return false
			}
			flat = flat && d >= -near
		}
		in = in || flat
	}
	return in
}
