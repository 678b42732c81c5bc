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
		if low >= high {
			return
		}
		// A row may only change when the next one has been told what it was.
		more := uint64(0)
		for row := low; row < high; row++ {
			up, mid, down := p.around(row)
			more |= growRowWithin(scratch.Row(row&1), up, mid, down, room.Row(row))
			if row > low {
				p.add(row-1, scratch)
			}
		}
		p.add(high-1, scratch)
		clear(scratch.Bits[:2*scratch.Words])
		if more == 0 {
			return
		}
		p.touch(low)
		p.touch(high - 1)
	}
}

// growRowWithin is growRow for the cells of room that are not set yet; the result is 0
// where there are none.
func growRowWithin(out, up, mid, down, room []uint64) (more uint64) {
	n := len(out)
	up, mid, down, room = up[:n], mid[:n], down[:n], room[:n]
	before, w := uint64(0), up[0]|mid[0]|down[0]
	for i := range out {
		after := uint64(0)
		if i+1 < n {
			after = up[i+1] | mid[i+1] | down[i+1]
		}
		fresh := (w | w<<1 | w>>1 | before>>63 | after<<63) & room[i] &^ mid[i]
		out[i] = fresh
		more |= fresh
		before, w = w, after
	}
	return more
}

// add sets the cells that scratch holds for a row.
func (p *Plane) add(row int, scratch *Plane) {
	line, fresh := p.Row(row), scratch.Row(row&1)
	for i := range line {
		line[i] |= fresh[i]
	}
}
