package hang

import (
	"math"

	"printlint/internal/mesh"
)

// weigher takes the values of one patch from its field.
type weigher struct {
	c    *Collector
	m    *mesh.Mesh
	f    *field
	fr   frame
	set  set
	unit float64 // mm a field cell
}

// bridges lays the strands and takes, for each reach, the longest that a cell
// farther than that from its carriers needs. A narrow ledge carried along its whole
// side is no bridge along its length.
func (w *weigher) bridges(p *Patch, opt Options) {
	f := w.f
	far := append(f.work.before[:0], f.far...)
	f.work.before = far
	p.Layered = f.bridgeOver(float32(opt.Least/w.unit), float32(opt.Carry/w.unit))
	bridged := 0
	for i, s := range f.span {
		if f.kind[i] != solid && s < never {
			bridged++
		}
	}
	p.SpanArea = float64(bridged) * w.unit * w.unit
	p.Bridges = make([]Bridge, len(opt.Reaches))
	for n := range p.Bridges {
		p.Bridges[n] = w.longest(float32(opt.Reaches[n]/w.unit), far)
		if n > 0 && p.Bridges[n].Span == p.Bridges[n-1].Span {
			p.Bridges[n].At = p.Bridges[n-1].At
		} else if p.Bridges[n].Span > 0 {
			p.Bridges[n].At = w.spanSpot(&p.Bridges[n], float32(opt.Reaches[n]/w.unit), far)
		}
	}
}

// longest finds the longest strand through cells beyond a reach.
func (w *weigher) longest(reach float32, far []float32) Bridge {
	f := w.f
	var most float32
	for i, s := range f.span {
		if f.kind[i] != solid && s < never && far[i] > reach {
			most = max(most, s)
		}
	}
	return Bridge{Span: float64(most) * w.unit}
}

// spanSpot is the middle of the cells that need the longest strand.
func (w *weigher) spanSpot(b *Bridge, reach float32, far []float32) Spot {
	f := w.f
	least := plateau(float32(b.Span / w.unit))
	return w.spot(func(i int) bool {
		return f.span[i] >= least && f.span[i] < never && far[i] > reach && f.kind[i] != solid
	})
}

// rest measures what is left when every bridged cell carries its neighbours.
func (w *weigher) rest(p *Patch) {
	f := w.f
	f.measureFar(func(k uint8) bool { return k >= strand })
	var farthest float32
	left := 0
	for i, k := range f.kind {
		if k == patch && f.far[i] < never {
			left++
			farthest = max(farthest, f.far[i])
		}
	}
	p.Rest = float64(farthest) * w.unit
	p.RestArea = float64(left) * w.unit * w.unit
	if left > 0 {
		p.RestAt = w.spot(func(i int) bool { return f.kind[i] == patch && f.far[i] >= plateau(farthest) && f.far[i] < never })
	}
}

// plateau is from where on a length counts as the largest: the lattice moves lengths
// by a cell or so, and the middle of a ridge must not hang on which of its cells won.
func plateau(most float32) float32 { return most - max(1, most/32) }

// spot picks, among the field cells that pass, the one nearest to their middle:
// the choice then follows the shape when the model is moved or turned.
func (w *weigher) spot(pass func(i int) bool) Spot {
	f := w.f
	var sx, sy, n float64
	for i := range f.kind {
		if pass(i) {
			sx, sy, n = sx+float64(i%f.cols), sy+float64(i/f.cols), n+1
		}
	}
	best, at := math.Inf(1), 0
	for i := range f.kind {
		if pass(i) {
			dx, dy := float64(i%f.cols)-sx/n, float64(i/f.cols)-sy/n
			if d := float64(dx*dx) + float64(dy*dy); d < best-1e-9 {
				best, at = d, i
			}
		}
	}
	return w.spotAt(int32(at%f.cols), int32(at/f.cols))
}

// spotAt finds the height and the triangle over one field cell.
func (w *weigher) spotAt(fx, fy int32) Spot {
	g := w.c.grid
	half := w.fr.scale / 2
	col, row := w.fr.col+fx*w.fr.scale+half, w.fr.row+fy*w.fr.scale+half
	x, y := g.Center(int(col), int(row))
	s := Spot{At: mesh.Vec{X: x, Y: y}}
	nearest := int32(math.MaxInt32)
	var over int32 = -1
	for _, i := range w.set.runs {
		r := &w.c.runs[i]
		d := max(r.Row-row, row-r.Row) + max(r.From-col, col-r.To+1, 0)
		if d < nearest {
			nearest, over = d, i
		}
	}
	if over < 0 {
		return s
	}
	r := &w.c.runs[over]
	s.Drop, s.At.Z = float64(r.drop)*g.Height, g.Floor(int(r.layer))
	for _, i := range w.set.hits {
		if h := &w.c.hits[i]; h.run == over {
			s.Tri = h.tri
			z := triangleHeight(w.m, h.tri, x, y)
			s.At.Z = min(max(z, s.At.Z-g.Height), s.At.Z+g.Height)
			break
		}
	}
	return s
}
