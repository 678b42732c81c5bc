package cut

import (
	"slices"

	"printlint/internal/mesh"
)

// taken is what lies within all planes.
func (c *carver) taken() *mesh.Mesh {
	var tris []mesh.Tri
	for _, f := range c.within {
		tris = c.fill(tris, f)
	}
	return c.rounded(tris)
}

// rest is the surface without it.
func (c *carver) rest() *mesh.Mesh {
	cut := make([]bool, len(c.from.Tris)) // triangles of which a part was taken
	beside := map[side]bool{}             // their sides
	touched := make([]bool, len(c.from.Verts))
	for _, f := range c.within {
		if f.from < 0 || cut[f.from] {
			continue
		}
		cut[f.from] = true
		t := c.from.Tris[f.from]
		for k, a := range t {
			beside[sideOf(a, t[(k+1)%3])] = true
			touched[a] = true
		}
	}
	var tris []mesh.Tri
	for t, tri := range c.from.Tris {
		if cut[t] {
			continue
		}
		var around []uint32
		for k, a := range tri {
			b := tri[(k+1)%3]
			around = append(around, a)
			if touched[a] && touched[b] && beside[sideOf(a, b)] {
				around = c.between(around, a, b)
			}
		}
		tris = c.flat(tris, around)
	}
	for _, f := range c.beyond {
		if cut[f.from] {
			tris = c.fill(tris, f)
		}
	}
	from := len(tris)
	for _, f := range c.within {
		if f.from < 0 {
			tris = c.fill(tris, f)
		}
	}
	for i := range tris[from:] {
		t := &tris[from+i]
		t[1], t[2] = t[2], t[1]
	}
	return c.rounded(tris)
}

// between appends the corners that a side was cut at, on the way from a to b.
func (c *carver) between(list []uint32, a, b uint32) []uint32 {
	v, is := c.split[sideOf(a, b)]
	if !is {
		return list
	}
	list = append(c.between(list, a, v), v)
	return c.between(list, v, b)
}

// around are the corners of a facet with those that its sides were cut at.
func (c *carver) around(f facet) (list []uint32) {
	for k, a := range f.corners {
		list = c.between(append(list, a), a, f.corners[(k+1)%len(f.corners)])
	}
	return list
}

// fill appends the triangles of a facet.
func (c *carver) fill(tris []mesh.Tri, f facet) []mesh.Tri { return c.flat(tris, c.around(f)) }

// flat appends the triangles of a flat ring of corners with convex sides: a fan or, where it has
// straight corners, a star around its middle, so that none is without area.
func (c *carver) flat(tris []mesh.Tri, around []uint32) []mesh.Tri {
	if n := len(around); n == 3 || c.bends(around) {
		for k := 2; k < n; k++ {
			tris = append(tris, mesh.Tri{around[0], around[k-1], around[k]})
		}
		return tris
	}
	var middle mesh.Vec
	for _, v := range around {
		middle = middle.Add(c.places[v].Scale(1 / float64(len(around))))
	}
	at := uint32(len(c.places))
	c.places = append(c.places, middle)
	for k, a := range around {
		tris = append(tris, mesh.Tri{a, around[(k+1)%len(around)], at})
	}
	return tris
}

// bends says that no corner of a ring is straight, or nearly.
func (c *carver) bends(around []uint32) bool {
	const least = 1e-3 // sine
	for k, v := range around {
		a := c.places[v].Sub(c.places[around[(k+len(around)-1)%len(around)]])
		b := c.places[around[(k+1)%len(around)]].Sub(c.places[v])
		if a.Cross(b).Len() <= float64(least*a.Len())*b.Len() {
			return false
		}
	}
	return true
}

// rounded is the mesh of triangles, with corners as files hold them: those that round to one are
// one, and triangles that this leaves without three are dropped.
func (c *carver) rounded(tris []mesh.Tri) *mesh.Mesh {
	s := &mesh.Triangles{Corners: make([]mesh.Point, 0, 3*len(tris))}
	for _, t := range tris {
		for _, v := range t {
			p := mesh.Of32(c.places[v])
			s.Corners = append(s.Corners, mesh.Point{p[0] + 0, p[1] + 0, p[2] + 0}) // no negative zero
		}
	}
	out := mesh.Weld(s)
	out.Tris = slices.DeleteFunc(out.Tris, func(t mesh.Tri) bool { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0] })
	return out
}
