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

// at places the crossing of edge a-b with height z in cell units. The lower corner
// goes first, so that both triangles of an edge get the same point to the last bit.
func (c *cutter) at(a, b uint32, z float64) (x, y float64) {
	p, q := c.m.Verts[a], c.m.Verts[b]
	if p[2] > q[2] || p[2] == q[2] && a > b {
		p, q = q, p
	}
	t := (z - float64(p[2])) / (float64(q[2]) - float64(p[2]))
	x = float64(p[0]) + float64(t*(float64(q[0])-float64(p[0])))
	y = float64(p[1]) + float64(t*(float64(q[1])-float64(p[1])))
	return (x - c.grid.X0) * c.inv, (y - c.grid.Y0) * c.inv
}

// triangle adds the crossings of one triangle with the cuts [first, last).
func (c *cutter) triangle(t mesh.Tri, first, last int) {
	a, b, d := t[0], t[1], t[2]
	la, lb, ld := c.level[a], c.level[b], c.level[d]
	from := max(int(min(la, lb, ld)), first)
	to := min(int(max(la, lb, ld)), last)
	for k := from; k < to; k++ {
		z, n := c.grid.CutZ(k), int32(k)
		up := [3]bool{la > n, lb > n, ld > n}
		var x0, y0, x1, y1 float64
		for i, e := range [3][2]uint32{{a, b}, {b, d}, {d, a}} {
			switch lo, hi := up[i], up[(i+1)%3]; {
			case !lo && hi:
				x0, y0 = c.at(e[0], e[1], z)
			case lo && !hi:
				x1, y1 = c.at(e[0], e[1], z)
			}
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
