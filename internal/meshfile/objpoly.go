package meshfile

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// flat is a corner of a polygon seen along its normal.
type flat struct{ x, y float64 }

// polygon cuts polygons into triangles; its buffers are used again for the next one.
type polygon struct {
	pts        []flat
	next, prev []int32
	out        [][3]int32
	state      []uint8 // of each corner: unasked, ear or blocked
	// work is how many corners may still be tested in this file, and left in this polygon:
	// to cut one of n corners takes n^2 tests, and n^3 when it was drawn to be slow.
	work, left int64
}

// What is known of a corner.
const (
	unasked uint8 = iota
	isEar
	blocked
)

// cut returns n-2 triangles as indices into corners, all turned as the polygon is.
// clean is false when the polygon crosses itself or has no area, so that no such
// triangles exist: the triangles then keep its edges but may overlap. ok is false when
// the work for the file ran out. The result is valid until the next call.
func (g *polygon) cut(corners []mesh.Point) (tris [][3]int32, clean, ok bool) {
	g.out = slices.Grow(g.out[:0], len(corners)-2)
	if len(corners) == 3 {
		g.out = append(g.out, [3]int32{0, 1, 2})
		return g.out, true, true
	}
	if !g.project(corners) {
		return g.fan(), false, true
	}
	if g.fanWorks() {
		return g.fan(), true, true
	}
	g.left = min(g.work, maxFace)
	before := g.left
	clean = g.clip()
	g.work -= before - g.left
	return g.out, clean, g.left > 0
}

// project drops the coordinate along which the polygon is seen largest and keeps its
// turn counter-clockwise; false when it has no area. The normal is the sum over the
// edges, which also serves corners that do not quite lie in one plane (M. E. Newell's
// method, from memory).
func (g *polygon) project(corners []mesh.Point) bool {
	var n mesh.Vec
	o := mesh.Of64(corners[0])
	for i := 1; i+1 < len(corners); i++ {
		n = n.Add(mesh.Of64(corners[i]).Sub(o).Cross(mesh.Of64(corners[i+1]).Sub(o)))
	}
	axis, size := 0, n.X
	if math.Abs(n.Y) > math.Abs(size) {
		axis, size = 1, n.Y
	}
	if math.Abs(n.Z) > math.Abs(size) {
		axis, size = 2, n.Z
	}
	g.pts = slices.Grow(g.pts[:0], len(corners))
	for _, c := range corners {
		p := flat{float64(c[(axis+1)%3]), float64(c[(axis+2)%3])}
		if size < 0 {
			p.x, p.y = p.y, p.x
		}
		g.pts = append(g.pts, p)
	}
	return size != 0
}

// turn is twice the area of a, b, c, positive when they turn counter-clockwise.
func turn(a, b, c flat) float64 {
	return float64((b.x-a.x)*(c.y-a.y)) - float64((b.y-a.y)*(c.x-a.x))
}

// fanWorks tells whether the triangles from the first corner fill the polygon without
// folding: each turns the right way, and all lie within a half turn around that corner.
// That is so for every convex polygon without corners in a row.
func (g *polygon) fanWorks() bool {
	p := g.pts
	for i := 2; i < len(p); i++ {
		if turn(p[0], p[1], p[i]) <= 0 || turn(p[0], p[i-1], p[i]) <= 0 {
			return false
		}
	}
	return true
}

func (g *polygon) fan() [][3]int32 {
	for i := int32(2); i < int32(len(g.pts)); i++ {
		g.out = append(g.out, [3]int32{0, i - 1, i})
	}
	return g.out
}

// clip cuts off ears until three corners are left (G. H. Meisters, "Polygons have ears",
// 1975, citation from memory): an ear is a corner that turns left and whose triangle
// holds no other corner. Without crossings there always is one; where none is found the
// rest is cut as a fan and the answer is false.
func (g *polygon) clip() bool {
	n := int32(len(g.pts))
	g.next, g.prev = slices.Grow(g.next[:0], len(g.pts)), slices.Grow(g.prev[:0], len(g.pts))
	for i := range n {
		g.next = append(g.next, (i+1)%n)
		g.prev = append(g.prev, (i+n-1)%n)
	}
	g.state = append(g.state[:0], make([]uint8, n)...)
	at, missed, fresh := int32(0), int32(0), true
	for left := n; left > 3; {
		if g.left--; !g.ear(at) {
			at = g.next[at]
			if missed++; missed <= left && g.left > 0 {
				continue
			}
			if fresh || g.left <= 0 {
				g.rest(at, left)
				return false
			}
			clear(g.state) // a corner that only touched may be gone
			missed, fresh = 0, true
			continue
		}
		p, q := g.prev[at], g.next[at]
		g.out = append(g.out, [3]int32{p, at, q})
		g.next[p], g.prev[q] = q, p
		// What is cut off elsewhere makes no ear and ends none (J. O'Rourke, "Computational
		// Geometry in C", 1998, 1.6, citation from memory).
		g.state[p], g.state[q] = unasked, unasked
		left, missed, fresh = left-1, 0, false
		at = g.next[q] // not q: going round keeps the triangles from all meeting in one corner
	}
	last := [3]int32{g.prev[at], at, g.next[at]}
	g.out = append(g.out, last)
	return turn(g.pts[last[0]], g.pts[last[1]], g.pts[last[2]]) > 0
}

func (g *polygon) rest(at, left int32) {
	for b := g.next[at]; left > 2; left-- {
		g.out = append(g.out, [3]int32{at, b, g.next[b]})
		b = g.next[b]
	}
}

// ear tells whether corner v can be cut off, and remembers it.
func (g *polygon) ear(v int32) bool {
	if g.state[v] == unasked {
		g.state[v] = blocked
		if g.free(v) {
			g.state[v] = isEar
		}
	}
	return g.state[v] == isEar
}

// free tests whether corner v can be cut off.
func (g *polygon) free(v int32) bool {
	a, b, c := g.pts[g.prev[v]], g.pts[v], g.pts[g.next[v]]
	if turn(a, b, c) <= 0 {
		return false
	}
	for w := g.next[g.next[v]]; w != g.prev[v]; w = g.next[w] {
		g.left--
		p := g.pts[w]
		switch {
		case p == a || p == c:
			// The same place visited twice, as where a hole is joined to the outline.
		case p == b:
			if inWedge(a, b, c, g.pts[g.next[w]]) || inWedge(a, b, c, g.pts[g.prev[w]]) {
				return false
			}
		case turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0:
			return false
		}
	}
	return true
}

// inWedge tells whether p lies between the two edges that leave b, both continued.
func inWedge(a, b, c, p flat) bool { return turn(a, b, p) > 0 && turn(b, c, p) > 0 }
