package layers

// around returns a row and the two beside it; at the border the row itself stands for
// the one that is not there.
func (p *Plane) around(row int) (up, mid, down []uint64) {
	return p.Row(max(row-1, 0)), p.Row(row), p.Row(min(row+1, p.Rows-1))
}

// wide is a word of three rows taken as one, with the cells left and right of those set.
func wide(up, mid, down []uint64, i int) uint64 {
	w := up[i] | mid[i] | down[i]
	w |= w<<1 | w>>1
	if i > 0 {
		w |= (up[i-1] | mid[i-1] | down[i-1]) >> 63
	}
	if i+1 < len(mid) {
		w |= (up[i+1] | mid[i+1] | down[i+1]) << 63
	}
	return w
}

// SetBeyond makes p the cells of a that are neither in b nor beside a cell of b,
// corners included.
func (p *Plane) SetBeyond(a, b *Plane) {
	p.Clear()
	for row := a.Low; row < a.High; row++ {
		line := a.Row(row)
		up, mid, down := b.around(row)
		for i, w := range line {
			if w &^= mid[i]; w == 0 {
				continue
			}
			if w &^= wide(up, mid, down, i); w != 0 {
				p.touch(row)
				p.Row(row)[i] = w
			}
		}
	}
}

// cross is wide without the corners.
func cross(up, mid, down []uint64, i int) uint64 {
	w := mid[i]
	w |= w<<1 | w>>1 | up[i] | down[i]
	if i > 0 {
		w |= mid[i-1] >> 63
	}
	if i+1 < len(mid) {
		w |= mid[i+1] << 63
	}
	return w
}

// GrowWithin grows p by steps cells, diagonals included, but only over cells of
// room. Scratch is left empty.
func (p *Plane) GrowWithin(room, scratch *Plane, steps int) {
	scratch.Clear()
	for range steps {
		if !p.growOnce(room, scratch, growRowWithin) {
			return
		}
	}
}

// GrowRound grows p by the steps from one number to before another, but only over cells of
// room: every second one goes over corners as well, so that p grows by much the same in all
// directions. Scratch is left empty.
func (p *Plane) GrowRound(room, scratch *Plane, from, to int) {
	scratch.Clear()
	for ; from < to; from++ {
		corners := from%2 == 1
		grow := growRowCross
		if corners {
			grow = growRowWithin
		}
		if !p.growOnce(room, scratch, grow) && corners {
			return
		}
	}
}

// growOnce is one step; it reports whether any cell came to. A row changes only when the
// one after it has been told what it was: the new cells wait in one of two rows of scratch.
func (p *Plane) growOnce(room, scratch *Plane, grow func(out, up, mid, down, room []uint64) bool) (any bool) {
	low, high := max(p.Low-1, room.Low), min(p.High+1, room.High)
	if low >= high {
		return false
	}
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
			fresh[at] = grow(waits[at], up, mid, down, room.Row(row))
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
	if any {
		p.touch(low)
		p.touch(high - 1)
	}
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

// growRowWithin sets a row to the cells of room that are not set in the middle one of
// three, but touch what is set in any, and reports whether there are any.
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
		out[i] = wide(up, mid, down, i) & free
		more |= out[i]
	}
	return more != 0
}

// growRowCross is growRowWithin without the corners.
func growRowCross(out, up, mid, down, room []uint64) bool {
	n := len(out)
	up, mid, down, room = up[:n], mid[:n], down[:n], room[:n]
	more := uint64(0)
	for i := range out {
		free := room[i] &^ mid[i]
		if free == 0 {
			out[i] = 0
			continue
		}
		out[i] = cross(up, mid, down, i) & free
		more |= out[i]
	}
	return more != 0
}

func add(line, fresh []uint64) {
	for i := range line {
		line[i] |= fresh[i]
	}
}
