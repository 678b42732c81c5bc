package layers

// SetGrown makes p the cells of a and their eight neighbours.
func (p *Plane) SetGrown(a *Plane) {
	p.Clear()
	if a.Low >= a.High {
		return
	}
	p.Low, p.High = max(a.Low-1, 0), min(a.High+1, a.Rows)
	for row := p.Low; row < p.High; row++ {
		up, mid, down := a.around(row)
		growRow(p.Row(row), up, mid, down)
	}
}

// around returns a row and the two beside it; at the border the row itself stands for
// the one that is not there.
func (p *Plane) around(row int) (up, mid, down []uint64) {
	return p.Row(max(row-1, 0)), p.Row(row), p.Row(min(row+1, p.Rows-1))
}

// growRow sets a row to the cells of three rows and their neighbours left and right.
func growRow(out, up, mid, down []uint64) {
	up, mid, down = up[:len(out)], mid[:len(out)], down[:len(out)]
	before, w := uint64(0), up[0]|mid[0]|down[0]
	for i := range out {
		after := uint64(0)
		if i+1 < len(out) {
			after = up[i+1] | mid[i+1] | down[i+1]
		}
		out[i] = w | w<<1 | w>>1 | before>>63 | after<<63
		before, w = w, after
	}
}

// SetBeyond makes p the cells of a that are neither in b nor beside a cell of b,
// corners included, and reports whether there are any.
func (p *Plane) SetBeyond(a, b *Plane) bool {
	p.Clear()
	for row := a.Low; row < a.High; row++ {
		line := a.Row(row)
		up, mid, down := b.around(row)
		for i, w := range line {
			if w &^= mid[i]; w == 0 {
				continue
			}
			wide := up[i] | mid[i] | down[i]
			wide |= wide<<1 | wide>>1
			if i > 0 {
				wide |= (up[i-1] | mid[i-1] | down[i-1]) >> 63
			}
			if i+1 < len(line) {
				wide |= (up[i+1] | mid[i+1] | down[i+1]) << 63
			}
			if w &^= wide; w != 0 {
				p.touch(row)
				p.Row(row)[i] = w
			}
		}
	}
	return p.Low < p.High
}

// GrowWithin grows p by steps cells, diagonals included, but only over cells of
// room. Scratch is left empty.
func (p *Plane) GrowWithin(room, scratch *Plane, steps int) {
	scratch.Clear()
	for range steps {
		low, high := max(p.Low-1, room.Low), min(p.High+1, room.High)
		if low >= high || !p.growOnce(room, scratch, low, high) {
			return
		}
		p.touch(low)
		p.touch(high - 1)
	}
}

// growOnce is one step of GrowWithin in rows [low, high); it reports whether any cell
// came to. A row changes only when the one after it has been told what it was: the new
// cells wait in one of two rows of scratch.
func (p *Plane) growOnce(room, scratch *Plane, low, high int) (any bool) {
	n := p.Words
	var waits [2][]uint64
	waits[0], waits[1] = scratch.Bits[:n], scratch.Bits[n:2*n]
	var fresh [2]bool // what waits is not nothing
	above, here := p.used(low-1), p.used(low)
	for row := low; row < high; row++ {
		below := p.used(row + 1)
		at := row & 1
		if fresh[at] = false; above || here || below {
			up, mid, down := p.around(row)
			fresh[at] = growRowWithin(waits[at], up, mid, down, room.Row(row))
		}
		if fresh[1-at] {
			add(p.Row(row-1), waits[1-at])
			any, fresh[1-at] = true, false
		}
		above, here = here, below
	}
	if last := (high - 1) & 1; fresh[last] {
		add(p.Row(high-1), waits[last])
		any = true
	}
	clear(scratch.Bits[:2*n])
	return any
}

// used reports whether a row holds any cell.
func (p *Plane) used(row int) bool {
	if row < p.Low || row >= p.High {
		return false
	}
	for _, w := range p.Row(row) {
		if w != 0 {
			return true
		}
	}
	return false
}

// growRowWithin is growRow for the cells of room that are not set yet, and reports
// whether there are any.
func growRowWithin(out, up, mid, down, room []uint64) bool {
	n := len(out)
	up, mid, down, room = up[:n], mid[:n], down[:n], room[:n]
	more := uint64(0)
	for i := range out {
		free := room[i] &^ mid[i]
		if free == 0 {
			out[i] = 0
			continue
		}
		w := up[i] | mid[i] | down[i]
		w |= w<<1 | w>>1
		if i > 0 {
			w |= (up[i-1] | mid[i-1] | down[i-1]) >> 63
		}
		if i+1 < n {
			w |= (up[i+1] | mid[i+1] | down[i+1]) << 63
		}
		out[i] = w & free
		more |= w & free
	}
	return more != 0
}

func add(line, fresh []uint64) {
	for i := range line {
		line[i] |= fresh[i]
	}
}
