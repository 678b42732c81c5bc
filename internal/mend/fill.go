package mend

import (
	"math"

	"printlint/internal/mesh"
)

// deep is how far the rim of a hole may be from flat, in mm, while it does not matter
// which way the hole is spanned: the width of a common line (common practice, no source).
const deep = 0.4

// fillHoles spans a sheet over every loop of edges that do not add up.
func (w *mending) fillHoles(r *rims) {
	for _, loop := range w.loops(w.sidesOf(r)) {
		w.Holes++
		h := w.newHole(loop)
		before := w.Filled
		if len(loop) <= exactSides {
			h.exactly()
		} else {
			h.zip()
		}
		if area := w.Filled - before; area > capShare*w.Area && h.isCap() {
			w.Capped += area
		}
		if h.depth > deep && h.guessed > 0 {
			w.Guessed += h.guessed
			w.Depth = max(w.Depth, h.depth)
			if h.guessed > w.most {
				w.most, w.first = h.guessed, loop[0].tri
			}
		}
	}
}

// capShare is the share of the surface from which on it is worth finding out whether a
// hole is a missing end (judgement).
const capShare = 0.02

// isCap says that the rim of the hole is flat and all of the surface lies on one side of
// it, as where the underside of a relief was never drawn.
func (h *hole) isCap() bool {
	if h.depth > h.slack {
		return false
	}
	own := h.own()
	h.w.spend(stepCost * h.w.given)
	for _, t := range h.w.tris[:h.w.given] {
		if t[0] == t[1] {
			continue
		}
		for _, v := range t {
			if own.n.Dot(h.w.at(v))-own.d > h.slack {
				return false
			}
		}
	}
	return true
}

// maxPlanes bounds the planes of the faces around one hole, a bit each.
const maxPlanes = 63

// facePlane is that of a face at the rim of a hole: n.x = d.
type facePlane struct {
	n mesh.Vec
	d float64
}

// hole is one loop to be filled.
type hole struct {
	w       *mending
	loop    []side
	at      []mesh.Vec
	planes  []facePlane
	on      []uint64 // of each corner, the planes it lies in
	slack   float64  // how far from a plane they may be for that
	guessed float64
	depth   float64
}

// flatness is how far from a plane a corner may lie that is drawn in it, in mm; where
// seams were stitched, corners have moved by as much as they were wide (judgement).
const flatness = 0.001

func (w *mending) newHole(loop []side) *hole {
	h := &hole{w: w, loop: loop, at: make([]mesh.Vec, len(loop)), on: make([]uint64, len(loop))}
	h.slack = flatness + w.Widest
	w.spend(2 * maxPlanes * len(loop))
	for i, s := range loop {
		h.at[i] = w.at(s.from)
	}
	h.addPlane(h.own())
	for _, s := range loop {
		n := w.normal(s.tri).Unit()
		h.addPlane(facePlane{n, n.Dot(w.at(s.from))})
	}
	for i, p := range h.at {
		for k, f := range h.planes {
			if math.Abs(f.n.Dot(p)-f.d) <= h.slack {
				h.on[i] |= 1 << k
			}
		}
	}
	return h
}

// own is the plane of the loop itself, by its vector area (M. Newell). How far the
// corners lie from it is the depth of the hole.
func (h *hole) own() facePlane {
	var n, middle mesh.Vec
	for i, p := range h.at {
		n = n.Add(p.Sub(h.at[0]).Cross(h.at[(i+1)%len(h.at)].Sub(h.at[0])))
		middle = middle.Add(p)
	}
	n = n.Unit()
	middle = middle.Scale(1 / float64(len(h.at)))
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range h.at {
		d := n.Dot(p.Sub(middle))
		low, high = min(low, d), max(high, d)
	}
	h.depth = high - low
	return facePlane{n, n.Dot(middle)}
}

// sameDirection is the cosine of the angle, a quarter of a degree, below which two
// planes that pass the same corner are one (judgement).
const sameDirection = 0.99999

// addPlane adds a plane unless it is there already.
func (h *hole) addPlane(p facePlane) {
	if p.n == (mesh.Vec{}) || len(h.planes) == maxPlanes {
		return
	}
	for _, q := range h.planes {
		if q.n.Dot(p.n) > sameDirection && math.Abs(q.d-p.d) <= h.slack {
			return
		}
	}
	h.planes = append(h.planes, p)
}

// flush says that a triangle continues a face at the rim, or lies in the plane of the
// rim and faces the same way.
func (h *hole) flush(i, j, k int, normal mesh.Vec) bool {
	on := h.on[i] & h.on[j] & h.on[k]
	for b := 0; on != 0; b, on = b+1, on>>1 {
		if on&1 != 0 && h.planes[b].n.Dot(normal) > 0 {
			return true
		}
	}
	return false
}

// triangle adds a triangle of the sheet between three corners of the loop.
func (h *hole) triangle(i, j, k int) {
	w := h.w
	w.tris = append(w.tris, mesh.Tri{h.loop[i].from, h.loop[j].from, h.loop[k].from})
	w.beside = append(w.beside, h.loop[i].tri)
	n := h.at[j].Sub(h.at[i]).Cross(h.at[k].Sub(h.at[i]))
	area := n.Len() / 2
	w.Filled += area
	// There is but one way to fill three corners.
	if len(h.loop) > 3 && !h.flush(i, j, k, n) {
		h.guessed += area
	}
}
