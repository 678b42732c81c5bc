package layers

import (
	"fmt"
	"math"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// plan is what a sweep will cost at most, known before it begins, and which layers are
// cut at all: between two cuts that pass upright faces only, the layers are alike.
type plan struct {
	alike     []bool  // by layer: it is like the one below
	crossings []int64 // by layer: at most so many outlines meet rows, 0 where it is alike
	spans     []int64 // by layer: at most so many stretches of sloping undersides
	most, all int64   // the largest of both together, and the sum
}

// What a sweep may cost beside what the number of triangles allows. A bed full of walls
// 2 mm apart meets each row of a layer 300 times, 3000 rows make a million. In all,
// 150 million cost about a second; upright walls cost them only where one begins or ends.
const (
	layerMarks = 4 << 20
	stackMarks = 150_000_000
	layerEach  = 8 // for each triangle
	stackEach  = 200
)

// estimate looks over the triangles.
func (s *sweep) estimate() *plan {
	n := s.grid.Layers
	p := &plan{alike: make([]bool, n), crossings: make([]int64, n+1), spans: make([]int64, n+2)}
	sloped := make([]int32, n+1)
	for k := 1; k < n; k++ {
		p.alike[k] = true
	}
	for _, t := range s.m.Tris {
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			continue // left out
		}
		low, high, rows, under := s.extent(t)
		for _, v := range t {
			if l := int(s.level[v]); l < n {
				p.alike[l] = false
			}
		}
		p.crossings[min(low, n)] += rows
		p.crossings[min(high, n)] -= rows
		up := s.upward(t)
		if up == 0 {
			continue
		}
		sloped[min(low, n)]++
		sloped[min(high, n)]--
		if high > 0 && (up < 0 || s.opt.TwoSided) { // the first layer lies on the bed
			p.spans[min(max(low, 1), n)] += under
			p.spans[min(high, n)+1] -= under
		}
	}
	p.add(sloped)
	return p
}

// extent is the cuts that a triangle crosses, from low to before high, the rows that it
// meets in one of them, and those under which it passes between two. A cut is widest at
// the middle corner and comes to nothing at both others: half of that is the mean.
func (s *sweep) extent(t mesh.Tri) (low, high int, rows, under int64) {
	a, b, c := mesh.Of64(s.m.Verts[t[0]]), mesh.Of64(s.m.Verts[t[1]]), mesh.Of64(s.m.Verts[t[2]])
	if a.Z > b.Z {
		a, b = b, a
	}
	if b.Z > c.Z {
		b, c = c, b
	}
	if a.Z > b.Z {
		a, b = b, a
	}
	la, lb, lc := s.level[t[0]], s.level[t[1]], s.level[t[2]]
	low, high = int(min(la, lb, lc)), int(max(la, lb, lc))
	all := max(a.Y, b.Y, c.Y) - min(a.Y, b.Y, c.Y)
	tall := c.Z - a.Z
	if tall <= s.grid.Height {
		return low, high, int64(all/s.grid.Cell) + 1, int64(all/s.grid.Cell) + 1
	}
	wide := math.Abs(a.Y+float64((b.Z-a.Z)/tall*(c.Y-a.Y))-b.Y) / 2
	return low, high, int64(wide/s.grid.Cell) + 1, int64(min(all, wide+all*s.grid.Height/tall)/s.grid.Cell) + 1
}

// upward is the sign of the triangle's normal along z, 0 for one that stands upright: its
// outline is then the same at every height.
func (s *sweep) upward(t mesh.Tri) float64 {
	a, b, c := s.m.Verts[t[0]], s.m.Verts[t[1]], s.m.Verts[t[2]]
	ux, uy := float64(b[0])-float64(a[0]), float64(b[1])-float64(a[1])
	vx, vy := float64(c[0])-float64(a[0]), float64(c[1])-float64(a[1])
	return float64(ux*vy) - float64(uy*vx)
}

// add turns what begins and ends in each layer into what there is in it.
func (p *plan) add(sloped []int32) {
	var crossings, spans int64
	sloping := int32(0)
	for k := range p.alike {
		crossings, spans, sloping = crossings+p.crossings[k], spans+p.spans[k], sloping+sloped[k]
		if sloping > 0 {
			p.alike[k] = false
		}
		p.crossings[k], p.spans[k] = crossings, spans
		if p.alike[k] {
			p.crossings[k] = 0
		}
		here := p.crossings[k] + p.spans[k]
		p.most = max(p.most, here)
		p.all += here
	}
}

// check says whether that is too much.
func (s *sweep) check(p *plan) error {
	n := int64(len(s.m.Tris))
	dense := int64(s.grid.Rows) * int64(s.grid.Cols+1)
	for k := range p.alike {
		limit := layerMarks + layerEach*n
		if dense > limit && p.crossings[k] > limit || p.spans[k] > limit/4 {
			return fmt.Errorf("more than %d million faces pass the rows of one layer: %w", limit>>20, work.ErrTooMuch)
		}
	}
	if limit := stackMarks + stackEach*n; p.all > limit {
		return fmt.Errorf("its faces pass the rows of its layers %d million times, and up to %d million could be followed: %w",
			p.all/1_000_000, limit/1_000_000, work.ErrTooMuch)
	}
	return nil
}
