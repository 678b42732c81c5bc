package hang

import (
	"bytes"
	"math"
	"slices"
)

// What a cell of a patch's own small grid is.
const (
	empty       = 0
	unsupported = 1 // hangs, and no bridge line crosses it yet
	longBridge  = 2 // hangs between two anchors, too long to carry others
	thinAnchor  = 3 // carries what lies beside it, but is too thin for the end of a bridge line
	anchorCell  = 4 // carries: solid below and beside the patch
	shortBridge = 5 // hangs between two anchors, short enough to carry others
)

// patchGrid is the small grid around one patch. Cells are row by row, with a margin of
// one cell on every side.
type patchGrid struct {
	carries     [2]float32 // for which lengths bridgeOver comes to the same
	cols, rows  int
	painted     int             // cells of the stack that it was painted from
	anchorSteps int             // anchors in a row that a bridge line needs at either end
	stepCells   [maxAge + 1]int // how deep a step is at most that carries after so many layers
	kind        []uint8
	low         []int32   // of cells that hang: the lowest layer in which they do
	cells       []int32   // those that hang, be they bridged or not, in rising order
	left        []int32   // those of them that no bridge line crosses yet
	beside      []int32   // cells that hang or carry with a patch only while bridge lines are laid
	far         []float32 // distance to the nearest anchor, in grid cells, where it was asked for
	span        []float32 // of cells that hang: the bridge line through it, in grid cells
	work        scratch
}

// scratch is memory that outlives a grid, so that patches reuse memory.
type scratch struct {
	down      []int32    // of each cell: steps up its column to an anchor
	up        []int32    // of each column: steps down to an anchor
	windows   []window   // of each row: where distances are asked for
	parabolas []parabola // of one row
	queue     []int32
	open      []int32 // the cells of one open edge
	label     []int32 // of each cell: its piece of what is left, from 1
	shift     []int32
	step      []int32        // where a line is after each step
	entries   [2][]lineEntry // where lines along x, along y can enter what is left
	count     []int32        // cells bridged, by direction and piece
	reach     []float32      // longest bridge line, by direction and piece
	chosen    []int32        // direction of each piece
	stage     []bool         // of each cell: what is still to be looked at; all false else
}

const unreached = math.MaxFloat32

// resize sets the size of the grid and empties its cells.
func (f *patchGrid) resize(cols, rows int) {
	f.cols, f.rows = cols, rows
	f.kind, f.low = resized(f.kind, cols*rows), resized(f.low, cols*rows)
	clear(f.kind)
}

// coarsen makes one cell of n by n. A cell that holds an anchor is one, so that the
// thin seam of anchors around a patch stays closed.
func (f *patchGrid) coarsen(n int) {
	cols, rows := f.cols/n, f.rows/n
	for y := range rows {
		for x := range cols {
			kind, low := uint8(empty), int32(math.MaxInt32)
			for dy := range n {
				at := (y*n+dy)*f.cols + x*n
				for i, k := range f.kind[at : at+n] {
					if kind = max(kind, k); k == unsupported {
						low = min(low, f.low[at+i])
					}
				}
			}
			f.kind[y*cols+x], f.low[y*cols+x] = kind, low // behind what is still to be read
		}
	}
	f.cols, f.rows, f.kind, f.low = cols, rows, f.kind[:cols*rows], f.low[:cols*rows]
}

// markThin makes thin anchors of those with fewer than steps in a row along x or along y.
func (f *patchGrid) markThin(steps int) {
	const thin = 0x80
	mark := func(lines, lineStride, count, stride int) {
		for line := range lines {
			run := 0
			for i := range count {
				at := line*lineStride + i*stride
				if f.kind[at]&^thin == anchorCell {
					run++
					continue
				}
				for n := 1; n <= run && run < steps; n++ {
					f.kind[at-n*stride] |= thin
				}
				run = 0
			}
		}
	}
	mark(f.rows, f.cols, f.cols, 1)
	mark(f.cols, 1, f.rows, f.cols)
	for i, k := range f.kind {
		if k&thin != 0 {
			f.kind[i] = thinAnchor
		}
	}
}

// listCells lists the cells that hang, all of them not bridged yet.
func (f *patchGrid) listCells() {
	f.cells = f.cells[:0]
	for at := 0; ; {
		skip := bytes.IndexByte(f.kind[at:], unsupported)
		if skip < 0 {
			break
		}
		for at += skip; at < len(f.kind) && f.kind[at] == unsupported; at++ {
			f.cells = append(f.cells, int32(at))
		}
	}
	f.left = append(f.left[:0], f.cells...)
}

// near are the steps to the eight cells around one.
func (f *patchGrid) near() [8]int32 {
	cols := int32(f.cols)
	return [8]int32{-cols - 1, -cols, -cols + 1, -1, 1, cols - 1, cols, cols + 1}
}

// widen lets the cells around a patch, so many steps out, hang too where it is less than three cells wide, such as
// the first layer of a bar with a sharp lower edge, and reports whether it is. The line that is laid there is wider
// than that, and where such a strip lies askew, no straight row of cells stays within it from end to end.
func (f *patchGrid) widen(steps int) bool {
	f.beside = f.beside[:0]
	if !f.slender() {
		return false
	}
	anchors := f.work.queue[:0] // the ends of such a strip that the walls hold are as narrow
	for i, k := range f.kind {
		if k == anchorCell {
			anchors = append(anchors, int32(i))
		}
	}
	f.work.queue = anchors
	f.surround(anchors, steps) // before what hangs, which would take their sides away
	f.surround(f.cells, steps)
	f.listCells()
	return true
}

// slender reports whether fewer than one in three of the cells lie amid others, as in a strip three cells wide.
func (f *patchGrid) slender() bool {
	near := f.near()
	amid := 0
	for _, at := range f.cells {
		inside := true
		for _, d := range near {
			inside = inside && f.kind[at+d] == unsupported
		}
		if inside {
			amid++
		}
		if 3*amid > len(f.cells) {
			return false
		}
	}
	return true
}

// surround makes the empty cells up to so many steps around some cells what these are.
func (f *patchGrid) surround(cells []int32, steps int) {
	near := f.near()
	for ; steps > 0; steps-- {
		first := len(f.beside)
		for _, at := range cells {
			if x, y := int(at)%f.cols, int(at)/f.cols; min(x, y, f.cols-1-x, f.rows-1-y) == 0 {
				continue // at the rim
			}
			for _, d := range near {
				if n := at + d; f.kind[n] == empty {
					f.kind[n], f.low[n] = f.kind[at], f.low[at]
					f.beside = append(f.beside, n)
				}
			}
		}
		cells = f.beside[first:]
	}
}

// narrow takes back what widen did by so many steps. The patch takes over what was laid within these: of a strip a
// cell wide, the line may lie beside it.
func (f *patchGrid) narrow(steps int) {
	const added = -1
	for _, at := range f.beside {
		f.low[at] = added
	}
	near := f.near()
	for ; steps > 0; steps-- {
		for _, at := range f.left {
			for _, d := range near {
				if k := f.kind[at+d]; k == longBridge || k == shortBridge {
					f.span[at] = min(f.span[at], f.span[at+d])
				}
			}
		}
		f.settle(longBridge)
	}
	for _, at := range f.beside {
		f.kind[at] = empty
	}
	drop := func(at int32) bool { return f.low[at] == added }
	f.cells, f.left = slices.DeleteFunc(f.cells, drop), slices.DeleteFunc(f.left, drop)
}

// resized returns a slice of n, the old one where it is large enough. What is in it
// stays.
func resized[T any](old []T, n int) []T {
	if cap(old) < n {
		return make([]T, n)
	}
	return old[:n]
}

// wide reports whether some cell of the patch lies more than steps moves, sideways
// or diagonal, from its anchors: a quick look that spares narrow rims the rest.
func (f *patchGrid) wide(steps int) bool {
	q := f.work.queue[:0]
	left := 0
	for i, k := range f.kind {
		switch k {
		case anchorCell, thinAnchor:
			q = append(q, int32(i))
		case unsupported:
			left++
		}
	}
	const seen = 0x80
	near := f.near()
	for begin := 0; steps > 0 && left > 0; steps-- {
		end := len(q)
		for _, at := range q[begin:end] {
			for _, d := range near {
				n := at + d
				if n >= 0 && int(n) < len(f.kind) && f.kind[n] == unsupported {
					f.kind[n] |= seen
					q = append(q, n)
					left--
				}
			}
		}
		if begin = end; begin == len(q) {
			break
		}
	}
	for _, i := range q {
		f.kind[i] &^= seen
	}
	f.work.queue = q
	return left > 0
}
