package layers

import (
	"math/bits"
	"slices"
)

// Plane is one layer of cells, a bit each. Rows outside [Low, High) are empty.
type Plane struct {
	Rows, Words int
	Low, High   int
	Bits        []uint64
	rows        []rowState // of a plane that grows with this one for scratch
}

// NewPlane returns an empty plane for the grid.
func NewPlane(g *Grid) *Plane {
	return &Plane{Rows: g.Rows, Words: g.Words, Bits: make([]uint64, g.Rows*g.Words)}
}

// reset makes p an empty plane of the grid in the memory it has, where that is enough.
func (p *Plane) reset(g *Grid) {
	n := g.Rows * g.Words
	p.Clear() // and so nothing is set anywhere in its memory
	if cap(p.Bits) < n {
		p.Bits = make([]uint64, n)
	}
	*p = Plane{Rows: g.Rows, Words: g.Words, Bits: p.Bits[:n]}
}

// Clear empties the plane.
func (p *Plane) Clear() {
	if p.Low < p.High {
		clear(p.Bits[p.Low*p.Words : p.High*p.Words])
	}
	p.Low, p.High = 0, 0
}

// window makes [low, high) the used rows, for a caller that then writes all of them.
func (p *Plane) window(low, high int) {
	for row := p.Low; row < p.High; row++ {
		if row < low || row >= high {
			clear(p.Row(row))
		}
	}
	p.Low, p.High = low, high
}

// touch widens the used rows to hold row.
func (p *Plane) touch(row int) {
	if p.Low >= p.High {
		p.Low, p.High = row, row+1
		return
	}
	p.Low, p.High = min(p.Low, row), max(p.High, row+1)
}

// Row returns the words of a row.
func (p *Plane) Row(row int) []uint64 { return p.Bits[row*p.Words : (row+1)*p.Words] }

// Get reports whether a cell is set; cells off the plane are not.
func (p *Plane) Get(col, row int) bool {
	if row < p.Low || row >= p.High || col < 0 || col >= p.Words*64 {
		return false
	}
	return p.Bits[row*p.Words+col>>6]>>(uint(col)&63)&1 != 0
}

// Fill sets the cells [from, to) of a row.
func (p *Plane) Fill(row, from, to int) {
	from, to = max(from, 0), min(to, p.Words*64)
	if from >= to {
		return
	}
	p.touch(row)
	line := p.Row(row)
	a, b := from>>6, (to-1)>>6
	first := ^uint64(0) << (uint(from) & 63)
	last := ^uint64(0) >> (63 - uint(to-1)&63)
	if a == b {
		line[a] |= first & last
		return
	}
	line[a] |= first
	for i := a + 1; i < b; i++ {
		line[i] = ^uint64(0)
	}
	line[b] |= last
}

// Count is the number of cells set.
func (p *Plane) Count() int {
	n := 0
	for _, w := range p.Bits[p.Low*p.Words : p.High*p.Words] {
		n += bits.OnesCount64(w)
	}
	return n
}

// Empty reports whether no cell is set.
func (p *Plane) Empty() bool {
	for _, w := range p.Bits[p.Low*p.Words : p.High*p.Words] {
		if w != 0 {
			return false
		}
	}
	return true
}

// SetDifference makes p the cells of a that are not in b.
func (p *Plane) SetDifference(a, b *Plane) {
	p.window(a.Low, a.High)
	dst := p.Bits[a.Low*p.Words : a.High*p.Words]
	src := a.Bits[a.Low*p.Words : a.High*p.Words]
	sub := b.Bits[a.Low*p.Words : a.High*p.Words]
	for i := range dst {
		dst[i] = src[i] &^ sub[i]
	}
}

// changedFrom is the rows [low, high) outside of which p is like a.
func (p *Plane) changedFrom(a *Plane) (low, high int) {
	low, high = min(p.Low, a.Low), max(p.High, a.High)
	if p.Low == p.High || a.Low == a.High { // the rows of an empty plane say nothing
		return low, high
	}
	for low < high && slices.Equal(p.Row(low), a.Row(low)) {
		low++
	}
	for low < high && slices.Equal(p.Row(high-1), a.Row(high-1)) {
		high--
	}
	return low, high
}

// Run is a stretch of set cells [From, To) in a row.
type Run struct{ Row, From, To int32 }

// AppendRuns appends the runs of the plane, row by row, left to right.
func (p *Plane) AppendRuns(runs []Run) []Run {
	for row := p.Low; row < p.High; row++ {
		runs = appendRowRuns(runs, int32(row), p.Row(row))
	}
	return runs
}

// appendRowRuns walks the words of a row from edge to edge of its runs.
func appendRowRuns(runs []Run, row int32, line []uint64) []Run {
	open := int32(-1)
	for i, w := range line {
		if w == 0 && open < 0 || w == ^uint64(0) && open >= 0 {
			continue
		}
		base, at := int32(i)*64, 0
		for at < 64 {
			rest := w >> uint(at)
			if open < 0 {
				if rest == 0 {
					break
				}
				at += bits.TrailingZeros64(rest)
				open = base + int32(at)
				continue
			}
			n := bits.TrailingZeros64(^rest)
			if at+n >= 64 {
				break
			}
			at += n
			runs = append(runs, Run{row, open, base + int32(at)})
			open = -1
		}
	}
	if open >= 0 {
		runs = append(runs, Run{row, open, int32(len(line)) * 64})
	}
	return runs
}

// CountIn is the number of cells of [from, to) of a row that are set.
func (p *Plane) CountIn(row, from, to int) int {
	if row < p.Low || row >= p.High || from >= to {
		return 0
	}
	line := p.Row(row)
	a, b := from>>6, (to-1)>>6
	first := ^uint64(0) << (uint(from) & 63)
	last := ^uint64(0) >> (63 - uint(to-1)&63)
	if a == b {
		return bits.OnesCount64(line[a] & first & last)
	}
	n := bits.OnesCount64(line[a]&first) + bits.OnesCount64(line[b]&last)
	for i := a + 1; i < b; i++ {
		n += bits.OnesCount64(line[i])
	}
	return n
}

// SetFresh makes p the cells of a that are not in b and are in c.
func (p *Plane) SetFresh(a, b, c *Plane) {
	low, high := max(a.Low, c.Low), min(a.High, c.High)
	if low >= high {
		low, high = 0, 0
	}
	p.window(low, high)
	for i := low * p.Words; i < high*p.Words; i++ {
		p.Bits[i] = a.Bits[i] &^ b.Bits[i] & c.Bits[i]
	}
}

// SetRows makes p the rows [low, high) of a.
func (p *Plane) SetRows(a *Plane, low, high int) {
	low, high = max(low, a.Low), min(high, a.High)
	if low >= high {
		low, high = 0, 0
	}
	p.window(low, high)
	copy(p.Bits[low*p.Words:high*p.Words], a.Bits[low*p.Words:high*p.Words])
}

// SetWithout makes p the rows [low, high) of a without the cells of others.
func (p *Plane) SetWithout(a *Plane, low, high int, others ...*Plane) {
	p.SetRows(a, low, high)
	for row := p.Low; row < p.High; row++ {
		line := p.Row(row)
		for _, o := range others {
			if row < o.Low || row >= o.High {
				continue
			}
			less := o.Row(row)[:len(line)]
			for i := range line {
				line[i] &^= less[i]
			}
		}
	}
}

// SetUnion makes p the cells that rows [low, high) of any of the planes hold.
func (p *Plane) SetUnion(low, high int, planes []*Plane) {
	p.Clear()
	for _, a := range planes {
		from, to := max(low, a.Low), min(high, a.High)
		if from >= to {
			continue
		}
		p.touch(from)
		p.touch(to - 1)
		line, more := p.Bits[from*p.Words:to*p.Words], a.Bits[from*p.Words:to*p.Words]
		for i := range line {
			line[i] |= more[i]
		}
	}
}

// And keeps the cells that are in a.
func (p *Plane) And(a *Plane) {
	for i := p.Low * p.Words; i < p.High*p.Words; i++ {
		p.Bits[i] &= a.Bits[i]
	}
}

// AndNot removes the cells that are in a.
func (p *Plane) AndNot(a *Plane) {
	for i := max(p.Low, a.Low) * p.Words; i < min(p.High, a.High)*p.Words; i++ {
		p.Bits[i] &^= a.Bits[i]
	}
}

// Or adds the cells of a.
func (p *Plane) Or(a *Plane) {
	if a.Low >= a.High {
		return
	}
	p.touch(a.Low)
	p.touch(a.High - 1)
	for i := a.Low * p.Words; i < a.High*p.Words; i++ {
		p.Bits[i] |= a.Bits[i]
	}
}
