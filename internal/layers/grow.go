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

// SetBeyond makes p the cells of rows [low, high) of a that are neither in b nor beside a
// cell of b, corners included.
func (p *Plane) SetBeyond(a, b *Plane, low, high int) {
	p.Clear()
	for row := max(low, a.Low); row < min(high, a.High); row++ {
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
	g := p.growth(room, scratch, steps)
	for range steps {
		if !g.once(growRowWithin) {
			return
		}
	}
}

// GrowRound grows p by the steps from one number to before another, but only over cells of
// room: every second one goes over corners as well, so that p grows by much the same in all
// directions. Scratch is left empty.
func (p *Plane) GrowRound(room, scratch *Plane, from, to int) {
	g := p.growth(room, scratch, to-from)
	for ; from < to; from++ {
		corners := from%2 == 1
		grow := growRowCross
		if corners {
			grow = growRowWithin
		}
		if !g.once(grow) && corners {
			return
		}
	}
}

// growth is a plane that grows step by step. Of each row it knows whether it holds any cell,
// and whether it is full, with no cell of room left: most rows are one or the other after a
// step, and need no further look.
type growth struct {
	plane, room *Plane
	waits       [2][]uint64
	rows        []rowState // those of row k at k+1: beyond either end nothing is
}

type rowState struct{ used, full bool }

// growth prepares p for so many steps; scratch gives the memory.
func (p *Plane) growth(room, scratch *Plane, steps int) growth {
	scratch.Clear()
	n := p.Words
	if len(scratch.rows) < p.Rows+3 {
		scratch.rows = make([]rowState, p.Rows+3)
	}
	g := growth{plane: p, room: room, waits: [2][]uint64{scratch.Bits[:n], scratch.Bits[n : 2*n]}, rows: scratch.rows}
	low, high := max(p.Low-steps, room.Low), min(p.High+steps, room.High)
	for row := low - 1; row <= high; row++ {
		g.rows[row+1] = rowState{used: p.used(row)}
	}
	return g
}

// once is one step; it reports whether any cell came to. A row changes only when the
// one after it has been told what it was: the new cells wait in one of two rows of scratch.
func (g *growth) once(grow func(out, up, mid, down, room []uint64) (more, left bool)) (any bool) {
	p := g.plane
	low, high := max(p.Low-1, g.room.Low), min(p.High+1, g.room.High)
	if low >= high {
		return false
	}
	var fresh [2]bool // what waits is not nothing
	for row := low; row <= high; row++ {
		at := row & 1
		if state := g.rows[row : row+3]; row < high && !state[1].full && (state[0].used || state[1].used || state[2].used) {
			up, mid, down := p.around(row)
			more, left := grow(g.waits[at], up, mid, down, g.room.Row(row))
			fresh[at], state[1].full = more, !left
		}
		if fresh[1-at] {
			add(p.Row(row-1), g.waits[1-at])
			g.rows[row].used = true
			any, fresh[1-at] = true, false
		}
	}
	clear(g.waits[0])
	clear(g.waits[1])
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
// three, but touch what is set in any. It reports whether there are any, and whether others
// are left.
func growRowWithin(out, up, mid, down, room []uint64) (more, left bool) {
	n := len(out)
	up, mid, down, room = up[:n], mid[:n], down[:n], room[:n]
	all, rest := uint64(0), uint64(0)
	for i := range out {
		free := room[i] &^ mid[i]
		if free == 0 {
			out[i] = 0
			continue
		}
		fresh := wide(up, mid, down, i) & free
		out[i] = fresh
		all, rest = all|fresh, rest|free&^fresh
	}
	return all != 0, rest != 0
}

// growRowCross is growRowWithin without the corners.
func growRowCross(out, up, mid, down, room []uint64) (more, left bool) {
	n := len(out)
	up, mid, down, room = up[:n], mid[:n], down[:n], room[:n]
	all, rest := uint64(0), uint64(0)
	for i := range out {
		free := room[i] &^ mid[i]
		if free == 0 {
			out[i] = 0
			continue
		}
		fresh := cross(up, mid, down, i) & free
		out[i] = fresh
		all, rest = all|fresh, rest|free&^fresh
	}
	return all != 0, rest != 0
}

func add(line, fresh []uint64) {
	for i := range line {
		line[i] |= fresh[i]
	}
}
