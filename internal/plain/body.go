package plain

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// touching is the gap up to which two bodies are drawn to touch, in mm.
const touching = 0.02

// span is a stretch of a column that is solid, heights above the bed in mm.
type span struct{ lo, hi float64 }

// body is a solid as columns on a square field, and as layers.
type body struct {
	nx, ny  int
	x0, y0  float64  // the middle of column 0
	columns [][]span // column i, j at j*nx+i, upwards
	layers  [][]bool // whether a column is solid at the middle of layer k
	begins  [][]int  // the columns in which a span begins to be solid in layer k
}

// crossing is where a column meets the surface, going up.
type crossing struct {
	z    float64
	turn int // +1 where the surface faces down, -1 where it faces up
}

// margin is how many empty columns lie around a body.
const margin = 3

// cut stands a column on the middle of every cell and asks where it meets the surface.
// The middles lie at an odd offset, so that they miss what is drawn to round figures.
func cut(s *mesh.Triangles) *body {
	lo, hi := [3]float64{}, [3]float64{}
	for i, p := range s.Corners {
		for a := range 3 {
			if v := float64(p[a]); i == 0 {
				lo[a], hi[a] = v, v
			} else {
				lo[a], hi[a] = min(lo[a], v), max(hi[a], v)
			}
		}
	}
	b := &body{x0: lo[0] - margin*cell + 0.0731*cell, y0: lo[1] - margin*cell + 0.0917*cell}
	b.nx = int((hi[0]-lo[0])/cell) + 2*margin + 1
	b.ny = int((hi[1]-lo[1])/cell) + 2*margin + 1
	met := make([][]crossing, b.nx*b.ny)
	for t := 0; t+2 < len(s.Corners); t += 3 {
		b.cross(met, vec(s.Corners[t], lo[2]), vec(s.Corners[t+1], lo[2]), vec(s.Corners[t+2], lo[2]))
	}
	b.columns = make([][]span, len(met))
	for c := range met {
		b.columns[c] = spans(met[c])
	}
	b.slice(int(math.Ceil((hi[2]-lo[2])/layer)) + 1)
	return b
}

func vec(p mesh.Point, bed float64) mesh.Vec {
	return mesh.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2]) - bed}
}

// cross adds the crossings of one triangle.
func (b *body) cross(met [][]crossing, p, q, r mesh.Vec) {
	n := q.Sub(p).Cross(r.Sub(p))
	if n.Z == 0 {
		return
	}
	turn := 1
	if n.Z > 0 {
		turn = -1
	}
	first := func(v, from float64) int { return int(math.Ceil((v - from) / cell)) }
	for j := first(min(p.Y, q.Y, r.Y), b.y0); b.y0+float64(j)*cell <= max(p.Y, q.Y, r.Y); j++ {
		for i := first(min(p.X, q.X, r.X), b.x0); b.x0+float64(i)*cell <= max(p.X, q.X, r.X); i++ {
			x, y := b.x0+float64(float64(i)*cell), b.y0+float64(float64(j)*cell)
			l := left(p, q, x, y)
			if left(q, r, x, y) != l || left(r, p, x, y) != l {
				continue
			}
			z := p.Z - (float64((x-p.X)*n.X)+float64((y-p.Y)*n.Y))/n.Z
			met[j*b.nx+i] = append(met[j*b.nx+i], crossing{min(max(z, min(p.Z, q.Z, r.Z)), max(p.Z, q.Z, r.Z)), turn})
		}
	}
}

// left tells on which side of the edge from p to q a point lies. It answers the opposite
// for the edge from q to p, so that a point on an edge lies in one of its two triangles.
func left(p, q mesh.Vec, x, y float64) bool {
	if cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) > 0 {
		return !left(q, p, x, y)
	}
	return float64((q.X-p.X)*(y-p.Y)) >= float64((q.Y-p.Y)*(x-p.X))
}

// spans are the stretches that the surface winds around; those that touch are one.
func spans(met []crossing) (list []span) {
	slices.SortFunc(met, func(a, b crossing) int { return cmp.Or(cmp.Compare(a.z, b.z), cmp.Compare(b.turn, a.turn)) })
	winding := 0
	for _, m := range met {
		before := winding
		winding += m.turn
		switch {
		case before == 0 && len(list) > 0 && m.z-list[len(list)-1].hi < touching:
		case before == 0:
			list = append(list, span{lo: m.z, hi: m.z})
		}
		list[len(list)-1].hi = m.z
	}
	return list
}

// slice cuts the columns at the middles of n layers.
func (b *body) slice(n int) {
	b.layers, b.begins = make([][]bool, n), make([][]int, n)
	for k := range b.layers {
		b.layers[k] = make([]bool, len(b.columns))
	}
	for c, column := range b.columns {
		for _, s := range column {
			k := b.firstLayer(s)
			if k < n && middle(k) < s.hi && !(k > 0 && b.layers[k-1][c]) {
				b.begins[k] = append(b.begins[k], c)
			}
			for ; k < n && middle(k) < s.hi; k++ {
				b.layers[k][c] = true
			}
		}
	}
}

func middle(k int) float64 { return (float64(k) + 0.5) * layer }

// firstLayer is the first layer whose middle lies in a span or above it.
func (b *body) firstLayer(s span) int { return max(0, int(math.Ceil(s.lo/layer-0.5))) }

// rests tells whether column c, which begins to be solid in layer k, has something below
// that ends within the gap, be it the bed, or of the model so close that it catches what sags;
// it may lie a layer or two down.
func (b *body) rests(c, k int, gap, caught float64) bool {
	under := 0.0 // the bed
	for _, s := range b.columns[c] {
		if s.hi > middle(k) {
			return s.lo-under <= gap || under > 0 && s.lo-under <= caught
		}
		if middle(b.firstLayer(s)) < s.hi { // is laid at all
			under = s.hi
		}
	}
	return false
}

// at is the place of a column in layer k.
func (b *body) at(c, k int) mesh.Vec {
	return mesh.Vec{X: b.x0 + float64(c%b.nx)*cell, Y: b.y0 + float64(c/b.nx)*cell, Z: float64(k) * layer}
}

// base judges what the first layer puts on the bed.
func (b *body) base(l *limits) *place {
	flat := 0
	for _, column := range b.columns {
		if len(column) > 0 && column[0].lo <= l.level {
			flat++
		}
	}
	foot, largest := count(b.layers[0]), 1
	for _, solid := range b.layers {
		largest = max(largest, count(solid))
	}
	area, share := float64(flat)*cell*cell, float64(foot)/float64(largest)
	if area < l.flat || area < l.small && share < l.share {
		return &place{figures: figures("flat", area, "share", share), at: b.at(slices.Index(b.layers[0], true), 0)}
	}
	return nil
}

func count(solid []bool) (n int) {
	for _, s := range solid {
		if s {
			n++
		}
	}
	return n
}
