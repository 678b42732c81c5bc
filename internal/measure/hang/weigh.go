package hang

import (
	"math"

	"printlint/internal/mesh"
)

// weigher takes the values of one patch from its grid.
type weigher struct {
	c     *Collector
	m     *mesh.Mesh
	grid  *patchGrid
	frame gridFrame
	set   patchItems
	unit  float64 // mm a grid cell
}

// bridges lays the bridge lines and takes, for each reach, the longest that a cell
// farther than that from its anchors needs. A narrow ledge carried along its whole
// side is no bridge along its length.
func (w *weigher) bridges(p *Patch, opt Options) {
	f := w.grid
	steps := max(1, 2/int(w.frame.scale))
	widened := f.widen(steps)
	if widened {
		f.measureDistances(f.cells, thinAnchor)
	}
	p.Sequential = f.bridgeOver(float32(opt.Least/w.unit), float32(opt.ShortBridge/w.unit))
	if widened {
		f.narrow(steps)
	}
	bridged := len(f.cells) - len(f.left)
	p.SpanArea = float64(bridged) * w.unit * w.unit
	p.Bridges = make([]Bridge, len(opt.Reaches))
	for n := range p.Bridges {
		reach := float32(opt.Reaches[n] / w.unit)
		p.Bridges[n] = w.longest(reach)
		if p.Bridges[n].Span > 0 {
			p.Bridges[n].At = w.spanPoint(&p.Bridges[n], reach)
		}
	}
}

// longest finds the longest bridge line through cells beyond a reach.
func (w *weigher) longest(reach float32) Bridge {
	f := w.grid
	var most float32
	for _, i := range f.cells {
		if s := f.span[i]; s > most && s < unreached && f.far[i] > reach {
			most = s
		}
	}
	return Bridge{Span: float64(most) * w.unit}
}

// spanPoint is the middle of the cells that need the longest bridge line.
func (w *weigher) spanPoint(b *Bridge, reach float32) PatchPoint {
	f := w.grid
	least := plateau(float32(b.Span / w.unit))
	pass := f.work.queue[:0]
	for _, i := range f.cells {
		if s := f.span[i]; s >= least && s < unreached && f.far[i] > reach {
			pass = append(pass, i)
		}
	}
	f.work.queue = pass
	return w.middleOf(pass)
}

// rest measures what is left when every bridged cell carries its neighbours.
func (w *weigher) rest(p *Patch) {
	f := w.grid
	farthest := w.farthest()
	p.Rest, p.RestArea = w.mm(farthest), w.mm2(len(f.left))
	p.RestAt = w.restPoint(farthest)
	if w.catch() {
		farthest = w.farthest()
		if 2*w.mm(farthest) > p.Rest { // else the place is where it sags farthest
			p.RestAt = w.restPoint(farthest)
		}
	}
	p.Open, p.OpenArea = w.mm(farthest), w.mm2(len(f.left))
}

// restPoint is the middle of the cells of what is left that lie farthest out.
func (w *weigher) restPoint(farthest float32) PatchPoint {
	f := w.grid
	if len(f.left) == 0 {
		return PatchPoint{}
	}
	least := plateau(farthest)
	pass := f.work.queue[:0]
	for _, i := range f.left {
		if f.far[i] >= least {
			pass = append(pass, i)
		}
	}
	f.work.queue = pass
	return w.middleOf(pass)
}

func (w *weigher) mm(cells float32) float64 { return float64(float64(cells) * w.unit) }

func (w *weigher) mm2(cells int) float64 { return float64(float64(cells) * w.unit * w.unit) }

// farthest measures how far what is left lies from what holds it, and leaves out what
// nothing holds.
func (w *weigher) farthest() float32 {
	f := w.grid
	f.measureDistances(f.left, longBridge)
	var most float32
	n := 0
	for _, i := range f.left {
		if far := f.far[i]; far < unreached {
			f.left[n] = i
			n++
			most = max(most, far)
		}
	}
	f.left = f.left[:n]
	return most
}

// catch takes off what is left the cells that the model catches close below, which then hold
// like bridges do. It reports whether there are any.
func (w *weigher) catch() bool {
	f, fr := w.grid, &w.frame
	for _, i := range w.set.runs {
		r := &w.c.runs[i]
		row := (r.Row - fr.row) / fr.scale * int32(f.cols)
		for col := r.caughtFrom; col < r.caughtTo; col++ {
			if at := row + (col-fr.col)/fr.scale; f.kind[at] == unsupported && f.low[at] == r.layer {
				f.kind[at] = longBridge
			}
		}
	}
	n := 0
	for _, at := range f.left {
		if f.kind[at] == unsupported {
			f.left[n] = at
			n++
		}
	}
	any := n < len(f.left)
	f.left = f.left[:n]
	return any
}

// plateau is from where on a length counts as the largest: the lattice moves lengths
// by a cell or so, and the middle of a ridge must not hang on which of its cells won.
func plateau(most float32) float32 { return most - max(1, most/32) }

// middleOf picks, among grid cells, the one nearest to their middle:
// the choice then follows the shape when the model is moved or turned.
func (w *weigher) middleOf(pass []int32) PatchPoint {
	cols := int32(w.grid.cols)
	var sx, sy int64
	for _, i := range pass {
		sx, sy = sx+int64(i%cols), sy+int64(i/cols)
	}
	n := float64(len(pass))
	x, y := float64(sx)/n, float64(sy)/n
	best, at := math.Inf(1), int32(0)
	for _, i := range pass {
		dx, dy := float64(i%cols)-x, float64(i/cols)-y
		if d := float64(dx*dx) + float64(dy*dy); d < best-1e-9 {
			best, at = d, i
		}
	}
	return w.pointAt(at%cols, at/cols)
}

// pointAt finds the hanging cell of the layers that one grid cell stands for.
func (w *weigher) pointAt(fx, fy int32) PatchPoint {
	g := w.c.grid
	half := w.frame.scale / 2
	col, row := w.frame.col+fx*w.frame.scale+half, w.frame.row+fy*w.frame.scale+half
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
		return PatchPoint{}
	}
	r := &w.c.runs[over]
	x, y := g.Center(int(min(max(col, r.From), r.To-1)), int(r.Row))
	return PatchPoint{At: mesh.Vec{X: x, Y: y, Z: g.Floor(int(r.layer))}, Layer: int(r.layer), Drop: float64(r.drop) * g.Height}
}
