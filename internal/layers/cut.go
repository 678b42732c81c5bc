package layers

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// crossing is where a cut's outline passes the middle line of a row: cells from Col
// on lie to its right, and Turn is what it adds to the winding there.
type crossing struct{ row, col, turn int32 }

// cutter cuts and fills the layers of one block; each worker has its own.
type cutter struct {
	grid    *Grid
	m       *mesh.Mesh
	level   []int32 // of each vertex: the number of cuts at or below it
	inv     float64 // cells a mm
	pending [][]crossing
	sorted  []crossing
	starts  []int32
}

// reset turns the cutter to another mesh; it keeps its memory.
func (c *cutter) reset(g *Grid, m *mesh.Mesh, level []int32) {
	c.grid, c.m, c.level, c.inv = g, m, level, 1/g.Cell
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
	turn := int32(1)
	if y0 > y1 {
		x0, y0, x1, y1, turn = x1, y1, x0, y0, -1
	}
	r0, r1 := int32(math.Ceil(y0-0.5)), int32(math.Ceil(y1-0.5))
	if r0 >= r1 {
		return
	}
	slope := (x1 - x0) / (y1 - y0)
	list := c.pending[slot]
	for r := r0; r < r1; r++ {
		x := x0 + float64((float64(r)+0.5-y0)*slope)
		list = append(list, crossing{r, int32(math.Ceil(x - 0.5)), turn})
	}
	c.pending[slot] = list
}

// fill turns the crossings of one slot into cells, and returns how many of the rows
// met did not close: their crossings do not add up, because the surface has a hole.
func (c *cutter) fill(slot int, l *Layer) (open int) {
	list := c.pending[slot]
	runs := l.Runs[:0]
	c.pending[slot] = list[:0]
	c.sortByRow(list)
	for i := 0; i < len(c.sorted); {
		row := c.sorted[i].row
		j := i + 1
		for j < len(c.sorted) && c.sorted[j].row == row {
			j++
		}
		var closed bool
		first := len(runs)
		if runs, closed = rowRuns(runs, c.sorted[i:j]); !closed {
			open++
		}
		for _, r := range runs[first:] {
			l.Solid.Fill(int(r.Row), int(r.From), int(r.To))
		}
		i = j
	}
	l.Runs = runs
	return open
}

// sortByRow sorts by row by counting, then each row by column by insertion: rows
// hold a handful of crossings.
func (c *cutter) sortByRow(list []crossing) {
	clear(c.starts)
	for i := range list {
		c.starts[list[i].row+1]++
	}
	for i := 1; i < len(c.starts); i++ {
		c.starts[i] += c.starts[i-1]
	}
	if cap(c.sorted) < len(list) {
		c.sorted = make([]crossing, len(list)+len(list)/2)
	}
	c.sorted = c.sorted[:len(list)]
	for i := range list {
		r := list[i].row
		c.sorted[c.starts[r]] = list[i]
		c.starts[r]++
	}
	s := c.sorted
	for i := 1; i < len(s); i++ {
		x := s[i]
		j := i - 1
		for j >= 0 && s[j].row == x.row && s[j].col > x.col {
			s[j+1] = s[j]
			j--
		}
		s[j+1] = x
	}
}

// rowRuns appends the stretches of one row where the winding is not zero, and reports
// whether it ended at zero. What meets is one stretch.
func rowRuns(runs []Run, s []crossing) ([]Run, bool) {
	wind, from, first := int32(0), int32(0), len(runs)
	for i := range s {
		if wind == 0 {
			from = s[i].col
		}
		if wind += s[i].turn; wind != 0 || from == s[i].col {
			continue
		}
		if n := len(runs); n > first && runs[n-1].To == from {
			runs[n-1].To = s[i].col
		} else {
			runs = append(runs, Run{s[i].row, from, s[i].col})
		}
	}
	return runs, wind == 0
}
