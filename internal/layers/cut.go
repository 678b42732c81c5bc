package layers

import (
	"math"
	"math/bits"
	"slices"

	"printlint/internal/mesh"
)

// crossing is where a cut's outline passes the middle line of a row: cells from its
// column on lie to its right, and there the winding goes up or down by one. Row, column
// and way are one number, so that crossings sort by row and column.
// The number has room, for a plane has 2^25 cells and some, and columns are rounded up to
// a power of two.
type crossing uint32

func (c *cutter) crossing(row, col int32, up bool) crossing {
	k := crossing(row)<<c.shift | crossing(min(max(col, 0), int32(c.grid.Cols)))<<1
	if up {
		k |= 1
	}
	return k
}

func (c *cutter) column(k crossing) int32 { return int32(k&(1<<c.shift-1)) >> 1 }

// turn is what the crossing adds to the winding.
func (k crossing) turn() int32 { return int32(k&1)*2 - 1 }

// cutter cuts and fills the layers of one block; each worker has its own.
type cutter struct {
	grid    *Grid
	m       *mesh.Mesh
	level   []int32 // of each vertex: the number of cuts at or below it
	inv     float64 // cells a mm
	shift   int     // where the row stands in the number of a crossing
	pending [][]crossing
	sorted  []crossing
	starts  []int32
	turns   []int32 // by column: what the crossings of a long row come to
	alike   []bool  // of each layer: it needs no cut where the one below is there
	follows bool    // the layer below the block is there
	cells   []int32 // by cell: what crossings come to, where they are added up
}

// reset turns the cutter to another mesh; it keeps its memory.
func (c *cutter) reset(s *sweep) {
	g := s.grid
	c.grid, c.m, c.level, c.alike, c.inv = g, s.m, s.level, s.plan.alike, 1/g.Cell
	if c.cells = c.cells[:0]; s.dense {
		c.cells = make([]int32, g.Rows*(g.Cols+1))
	}
	c.shift = bits.Len(uint(g.Cols)) + 1
	c.starts = slices.Grow(c.starts[:0], g.Rows+1)[:g.Rows+1]
	for i := range c.pending {
		c.pending[i] = c.pending[i][:0]
	}
}

// edge is an edge of a triangle from its lower corner up, so that both triangles of an
// edge place its crossings alike to the last bit.
type edge struct{ x, y, z, dx, dy, dz float64 }

func (c *cutter) edge(low, high uint32) edge {
	p, q := mesh.Of64(c.m.Verts[low]), mesh.Of64(c.m.Verts[high])
	return edge{p.X, p.Y, p.Z, q.X - p.X, q.Y - p.Y, q.Z - p.Z}
}

// at places the crossing of an edge with height z in cell units.
func (c *cutter) at(e *edge, z float64) (x, y float64) {
	t := (z - e.z) / e.dz
	x, y = e.x+float64(t*e.dx), e.y+float64(t*e.dy)
	return (x - c.grid.X0) * c.inv, (y - c.grid.Y0) * c.inv
}

// triangle adds the crossings of one triangle with the cuts [first, last). Of its
// corners by height, one edge goes from the lowest to the highest, and two do so by way
// of the middle one.
func (c *cutter) triangle(t mesh.Tri, first, last int) {
	low, mid, high := t[0], t[1], t[2]
	up := true // the triangle runs low, mid, high
	if c.level[low] > c.level[mid] {
		low, mid, up = mid, low, !up
	}
	if c.level[mid] > c.level[high] {
		mid, high, up = high, mid, !up
	}
	if c.level[low] > c.level[mid] {
		low, mid, up = mid, low, !up
	}
	from, to := max(int(c.level[low]), first), min(int(c.level[high]), last)
	if from >= to {
		return
	}
	whole, part := c.edge(low, high), c.edge(low, mid)
	bend := int(c.level[mid])
	if from >= bend {
		part = c.edge(mid, high)
	}
	for k := from; k < to; k++ {
		if k == bend {
			part = c.edge(mid, high)
		}
		if c.alike[k] && (k > first || c.follows) {
			continue
		}
		z := c.grid.CutZ(k)
		x0, y0 := c.at(&part, z)
		x1, y1 := c.at(&whole, z)
		if !up {
			x0, y0, x1, y1 = x1, y1, x0, y0
		}
		c.segment(k-first, x0, y0, x1, y1)
	}
}

// segment adds the crossings of one piece of outline, in cell units, with the
// middle lines of the rows it spans.
func (c *cutter) segment(slot int, x0, y0, x1, y1 float64) {
	up := true
	if y0 > y1 {
		x0, y0, x1, y1, up = x1, y1, x0, y0, false
	}
	r0, r1 := int32(math.Ceil(y0-0.5)), int32(math.Ceil(y1-0.5))
	if r0 >= r1 {
		return
	}
	slope := (x1 - x0) / (y1 - y0)
	list := c.pending[slot]
	for r := r0; r < r1; r++ {
		x := x0 + float64((float64(r)+0.5-y0)*slope)
		if len(c.cells) > 0 {
			c.count(c.crossing(r, int32(math.Ceil(x-0.5)), up))
			continue
		}
		list = append(list, c.crossing(r, int32(math.Ceil(x-0.5)), up))
	}
	c.pending[slot] = list
}

// fill turns the crossings of one slot into cells, and returns how many of the rows
// met did not close: their crossings do not add up, because the surface has a hole.
func (c *cutter) fill(slot int, l *Layer) (open int) {
	if len(c.cells) > 0 {
		return c.fillCounted(l)
	}
	list := c.pending[slot]
	runs := l.Runs[:0]
	c.pending[slot] = list[:0]
	c.sortByRow(list)
	from := int32(0)
	for row, to := range c.starts {
		if int32(len(c.sorted)) == from {
			break
		}
		if from == to {
			continue
		}
		var closed bool
		first := len(runs)
		if runs, closed = c.rowRuns(runs, int32(row), c.sorted[from:to]); !closed {
			open++
		}
		for _, r := range runs[first:] {
			l.Solid.Fill(int(r.Row), int(r.From), int(r.To))
		}
		from = to
	}
	l.Runs = runs
	return open
}

// sortByRow sorts by row by counting; then starts tells where each row ends.
func (c *cutter) sortByRow(list []crossing) {
	clear(c.starts)
	for _, k := range list {
		c.starts[k>>c.shift+1]++
	}
	for i := 1; i < len(c.starts); i++ {
		c.starts[i] += c.starts[i-1]
	}
	if cap(c.sorted) < len(list) {
		c.sorted = make([]crossing, len(list)+len(list)/2)
	}
	c.sorted = c.sorted[:len(list)]
	for _, k := range list {
		r := k >> c.shift
		c.sorted[c.starts[r]] = k
		c.starts[r]++
	}
}

// few is up to how many crossings of a row are sorted by insertion: nearly all rows hold
// a handful. From as many as a share of the columns on they are added up by column.
const (
	few   = 24
	crowd = 8
)

// rowRuns appends the stretches of one row where the winding is not zero, and reports
// whether it ended at zero.
func (c *cutter) rowRuns(runs []Run, row int32, s []crossing) ([]Run, bool) {
	switch {
	case len(s) > few && len(s) > c.grid.Cols/crowd:
		return c.crowdedRow(runs, row, s)
	case len(s) > few:
		slices.Sort(s)
	default:
		for i := 1; i < len(s); i++ {
			x, j := s[i], i-1
			for ; j >= 0 && s[j] > x; j-- {
				s[j+1] = s[j]
			}
			s[j+1] = x
		}
	}
	f := filler{row: row, runs: runs}
	for i := 0; i < len(s); {
		col, turns := c.column(s[i]), int32(0)
		for ; i < len(s) && c.column(s[i]) == col; i++ {
			turns += s[i].turn() // in a row that does not close, too, their order is nothing
		}
		f.turn(col, turns)
	}
	return f.runs, f.wind == 0
}

// crowdedRow is rowRuns for a row with so many crossings that most columns have some.
func (c *cutter) crowdedRow(runs []Run, row int32, s []crossing) ([]Run, bool) {
	if len(c.turns) <= c.grid.Cols {
		c.turns = make([]int32, c.grid.Cols+1)
	}
	for _, k := range s {
		c.turns[c.column(k)] += k.turn()
	}
	return rowOf(runs, row, c.turns[:c.grid.Cols+1])
}

// rowOf is rowRuns for what was added up by column, which it clears.
func rowOf(runs []Run, row int32, turns []int32) ([]Run, bool) {
	f := filler{row: row, runs: runs}
	for col, n := range turns {
		f.turn(int32(col), n)
		turns[col] = 0
	}
	return f.runs, f.wind == 0
}

// count adds a crossing up by cell.
func (c *cutter) count(k crossing) {
	c.cells[int(k>>c.shift)*(c.grid.Cols+1)+int(c.column(k))] += k.turn()
}

// fillCounted is fill where crossings were added up.
func (c *cutter) fillCounted(l *Layer) (open int) {
	runs, n := l.Runs[:0], c.grid.Cols+1
	for row := range c.grid.Rows {
		first := len(runs)
		var closed bool
		if runs, closed = rowOf(runs, int32(row), c.cells[row*n:(row+1)*n]); !closed {
			open++
		}
		for _, r := range runs[first:] {
			l.Solid.Fill(int(r.Row), int(r.From), int(r.To))
		}
	}
	l.Runs = runs
	return open
}

// filler follows the winding along a row, column by column: what ends and begins at one
// column is added up before, so that no stretch begins where another ends.
type filler struct {
	runs       []Run
	row        int32
	wind, from int32
}

// turn takes the winding up or down at a column.
func (f *filler) turn(col, by int32) {
	if by == 0 {
		return
	}
	if f.wind == 0 {
		f.from = col
	}
	if f.wind += by; f.wind == 0 {
		f.runs = append(f.runs, Run{f.row, f.from, col})
	}
}
