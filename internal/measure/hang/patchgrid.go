package hang

import (
	"bytes"
	"math"
)

// What a cell of a patch's own small grid is.
const (
	empty       = 0
	unsupported = 1 // hangs, and no bridge line crosses it yet
	longBridge  = 2 // hangs between two anchors, too long to carry others
	anchorCell  = 3 // carries: solid below and beside the patch
	shortBridge = 4 // hangs between two anchors, short enough to carry others
)

// patchGrid is the small grid around one patch. Cells are row by row, with a margin of
// one cell on every side.
type patchGrid struct {
	cols, rows  int
	painted     int // cells of the stack that it was painted from
	anchorSteps int // anchors in a row that a bridge line needs at either end
	kind        []uint8
	cells       []int32   // those that hang, be they bridged or not, in rising order
	left        []int32   // those of them that no bridge line crosses yet
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
	label     []int32 // of each cell: its piece of what is left, from 1
	shift     []int32
	step      []int32        // where a line is after each step
	entries   [2][]lineEntry // where lines along x, along y can enter what is left
	count     []int32        // cells bridged, by direction and piece
	reach     []float32      // longest bridge line, by direction and piece
	chosen    []int32        // direction of each piece
}

const unreached = math.MaxFloat32

// resize sets the size of the grid and empties its cells.
func (f *patchGrid) resize(cols, rows int) {
	f.cols, f.rows = cols, rows
	f.kind = resized(f.kind, cols*rows)
	clear(f.kind)
}

// coarsen makes one cell of n by n. A cell that holds an anchor is one, so that the
// thin seam of anchors around a patch stays closed.
func (f *patchGrid) coarsen(n int) {
	cols, rows := f.cols/n, f.rows/n
	for y := range rows {
		for x := range cols {
			kind := uint8(empty)
			for dy := range n {
				at := (y*n+dy)*f.cols + x*n
				for _, k := range f.kind[at : at+n] {
					kind = max(kind, k)
				}
			}
			f.kind[y*cols+x] = kind // behind what is still to be read
		}
	}
	f.cols, f.rows, f.kind = cols, rows, f.kind[:cols*rows]
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
		case anchorCell:
			q = append(q, int32(i))
		case unsupported:
			left++
		}
	}
	const seen = 0x80
	near := [8]int{-f.cols - 1, -f.cols, -f.cols + 1, -1, 1, f.cols - 1, f.cols, f.cols + 1}
	for begin := 0; steps > 0 && left > 0; steps-- {
		end := len(q)
		for _, at := range q[begin:end] {
			for _, d := range near {
				n := int(at) + d
				if n >= 0 && n < len(f.kind) && f.kind[n] == unsupported {
					f.kind[n] |= seen
					q = append(q, int32(n))
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
