package hang

import "math"

// window is a stretch of columns, from included, to not.
type window struct{ from, to int32 }

// around is the least window that holds two.
func (w window) around(o window) window { return window{min(w.from, o.from), max(w.to, o.to)} }

// nowhere is an empty window.
var nowhere = window{math.MaxInt32, 0}

// noAnchor is how many steps it is to an anchor in a column that has none: so many that
// no grid is as high, and so few that further steps do not overflow.
const noAnchor = 1 << 29

// parabola is one part of a lower envelope.
type parabola struct {
	at     int32   // column of its vertex
	height float32 // of the vertex
	square float32 // of the column
	from   float32 // where the part begins
}

// measureDistances fills far, for the cells given and the four beside each, with the
// straight distance to the nearest anchor, which is what is at least of the kind
// given: an exact Euclidean transform in two passes, the second of lower envelopes
// of parabolas (P. Felzenszwalb, D. Huttenlocher, "Distance transforms of sampled
// functions", Theory of Computing 8 (2012) 415-428; from memory). Distances run from
// the middle of the carrying cell, so the far edge of a ledge n cells deep is n away.
// The cells are in rising order and none lies at the rim of the grid.
func (f *patchGrid) measureDistances(cells []int32, least uint8) {
	f.far = resized(f.far, len(f.kind))
	if len(cells) == 0 {
		return
	}
	f.findWindows(cells)
	first, last := int(cells[0])/f.cols-1, int(cells[len(cells)-1])/f.cols+1
	f.stepsUp(last, least)
	f.work.up = resized(f.work.up, f.cols)
	up := f.work.up
	for x := range up {
		up[x] = noAnchor
	}
	f.work.parabolas = resized(f.work.parabolas, f.cols)
	for y := f.rows - 1; y >= first; y-- {
		stepsOn(up, up, f.kind[y*f.cols:(y+1)*f.cols], least)
		if w := f.work.windows[y]; y <= last && w.from < w.to {
			f.measureRow(y, w)
		}
	}
}

// findWindows finds the windows of the cells and of those beside them.
func (f *patchGrid) findWindows(cells []int32) {
	f.work.windows = resized(f.work.windows, f.rows)
	windows := f.work.windows
	for y := range windows {
		windows[y] = nowhere
	}
	y, begin := int32(-1), int32(-f.cols)
	for _, at := range cells {
		for at-begin >= int32(f.cols) {
			y, begin = y+1, begin+int32(f.cols)
		}
		x := at - begin
		windows[y] = windows[y].around(window{x - 1, x + 2})
	}
	above := nowhere
	for y := range windows {
		own := windows[y]
		windows[y] = own.around(above)
		if y+1 < len(windows) {
			windows[y] = windows[y].around(windows[y+1])
		}
		above = own
	}
}

// stepsUp counts the steps up each column for all rows to the last.
func (f *patchGrid) stepsUp(last int, least uint8) {
	f.work.down = resized(f.work.down, len(f.kind))
	down := f.work.down
	for x, k := range f.kind[:f.cols] {
		down[x] = noAnchor
		if k >= least {
			down[x] = 0
		}
	}
	for y := 1; y <= last; y++ {
		at := y * f.cols
		stepsOn(down[at:at+f.cols], down[at-f.cols:at], f.kind[at:at+f.cols], least)
	}
}

// stepsOn counts one step more than in the row before, and none at anchors.
func stepsOn(now, before []int32, kind []uint8, least uint8) {
	now, before = now[:len(kind)], before[:len(kind)]
	for x, k := range kind {
		d := before[x] + 1
		if k >= least {
			d = 0
		}
		now[x] = d
	}
}

// measureRow takes the lower envelope over a row, of parabolas as high as the column
// alone is far, and leaves roots in the window.
func (f *patchGrid) measureRow(y int, w window) {
	parts := f.work.parabolas
	down := f.work.down[y*f.cols : (y+1)*f.cols]
	up := f.work.up[:len(down)]
	n := 0
	for q := range down {
		steps := min(down[q], up[q])
		if steps >= noAnchor {
			continue
		}
		p := parabola{at: int32(q), height: float32(steps) * float32(steps), square: float32(q * q)}
		for n > 0 {
			o := &parts[n-1]
			p.from = (p.height + p.square - o.height - o.square) / float32(2*(p.at-o.at))
			if p.from > o.from {
				break
			}
			n--
		}
		if n == 0 {
			p.from = -unreached
		}
		parts[n] = p
		n++
	}
	row := f.far[y*f.cols : (y+1)*f.cols]
	at := 0
	for q := w.from; q < w.to; q++ {
		if n == 0 {
			row[q] = unreached
			continue
		}
		for at+1 < n && parts[at+1].from < float32(q) {
			at++
		}
		d := float32(q - parts[at].at)
		row[q] = float32(math.Sqrt(float64(float32(d*d) + parts[at].height)))
	}
}
