package hang

import "math"

// What a cell of a patch's own small grid is.
const (
	empty  = 0
	patch  = 1 // hangs, and nothing carries it yet
	strand = 2 // hangs between two carriers, too long to carry others
	solid  = 3 // carries: solid below and beside the patch
	bridge = 4 // hangs between two carriers, short enough to carry others
)

// field is the small grid around one patch. Cells are row by row, with a margin of
// one cell on every side.
type field struct {
	cols, rows int
	hold       int // carriers in a row that a strand needs at either end
	kind       []uint8
	far        []float32 // distance to the nearest carrier, in field cells
	span       []float32 // shortest chord between carriers through the cell, in field cells
	work       work
}

// work is scratch that outlives a field, so that patches reuse memory.
type work struct {
	column []float32
	vertex []int32
	bound  []float32
	queue  []int32
	label  []int32 // of each cell: its piece of what is left, from 1
	shift  []int32
	step   []int32   // where a line is after each step
	before []float32 // far, as it was before anything was bridged
}

const never = math.MaxFloat32

// shape sets the size of the field and empties its cells.
func (f *field) shape(cols, rows int) {
	f.cols, f.rows = cols, rows
	n := cols * rows
	if cap(f.kind) < n {
		f.kind = make([]uint8, n)
	}
	f.kind = f.kind[:n]
	clear(f.kind)
}

// coarsen makes one cell of n by n. A cell that holds a carrier is one, so that the
// thin seam of carriers around a patch stays closed.
func (f *field) coarsen(n int) {
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

// ready makes room for the distances and spans of the cells.
func (f *field) ready() {
	n := len(f.kind)
	if cap(f.far) < n {
		f.far, f.span = make([]float32, n), make([]float32, n)
	}
	f.far, f.span = f.far[:n], f.span[:n]
}

// wide reports whether some cell of the patch lies more than steps moves, sideways
// or diagonal, from its carriers: a quick look that spares narrow rims the rest.
func (f *field) wide(steps int) bool {
	q := f.work.queue[:0]
	left := 0
	for i, k := range f.kind {
		switch k {
		case solid:
			q = append(q, int32(i))
		case patch:
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
				if n >= 0 && n < len(f.kind) && f.kind[n] == patch {
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

// measureFar fills far with the straight distance from each cell to the nearest
// carrier among the kinds given: an exact Euclidean transform in two passes of
// lower envelopes of parabolas (P. Felzenszwalb, D. Huttenlocher, "Distance
// transforms of sampled functions", Theory of Computing 8 (2012) 415-428; from
// memory). Distances run from the middle of the carrying cell, so the far edge of
// a ledge n cells deep is n away.
func (f *field) measureFar(carrier func(uint8) bool) {
	f.ready()
	n := max(f.cols, f.rows) + 1
	if cap(f.work.column) < n {
		f.work.column, f.work.vertex, f.work.bound = make([]float32, n), make([]int32, n), make([]float32, n+1)
	}
	for x := range f.cols {
		f.columnPass(x, carrier)
	}
	for y := range f.rows {
		f.rowPass(f.far[y*f.cols : (y+1)*f.cols])
	}
}

// columnPass sets far to the squared distance along the column alone.
func (f *field) columnPass(x int, carrier func(uint8) bool) {
	last := float32(never)
	for y := range f.rows {
		i := y*f.cols + x
		if carrier(f.kind[i]) {
			last = 0
		} else if last < never {
			last++
		}
		f.far[i] = last
	}
	last = never
	for y := f.rows - 1; y >= 0; y-- {
		i := y*f.cols + x
		if f.far[i] == 0 {
			last = 0
		} else if last < never {
			last++
		}
		d := min(f.far[i], last)
		if d < never {
			d *= d
		}
		f.far[i] = d
	}
}

// rowPass takes the lower envelope over a row and leaves roots.
func (f *field) rowPass(row []float32) {
	v, z, g := f.work.vertex, f.work.bound, f.work.column[:len(row)]
	copy(g, row)
	k := -1
	for q := range g {
		if g[q] == never {
			continue
		}
		var s float32
		for k >= 0 {
			p := int(v[k])
			s = (g[q] + float32(q*q) - g[p] - float32(p*p)) / float32(2*(q-p))
			if s > z[k] {
				break
			}
			k--
		}
		if k < 0 {
			s = -never
		}
		k++
		v[k], z[k] = int32(q), s
	}
	if k < 0 {
		for i := range row {
			row[i] = never
		}
		return
	}
	at := 0
	for q := range row {
		for at < k && z[at+1] < float32(q) {
			at++
		}
		d := float32(q - int(v[at]))
		row[q] = float32(math.Sqrt(float64(float32(d*d) + g[v[at]])))
	}
}
