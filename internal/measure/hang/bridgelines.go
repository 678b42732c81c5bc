package hang

import "slices"

// bridgeOver finds what can be bridged, and leaves the length of the bridge line through
// every bridged cell in span. Bridge lines of up to carry grid cells may run in any
// direction and carry what is laid beside them, round after round. What is left
// needs longer bridge lines: each piece of it takes the one direction that leaves least
// of it unbridged, and those bridge lines carry nothing. Bridge lines shorter than least are
// steps of the lattice, not bridge lines. It reports whether later rounds found more.
// What it found holds for every carry from f.carries[0] up to and without f.carries[1].
func (f *patchGrid) bridgeOver(least, carry float32) (sequential bool) {
	f.carries = [2]float32{0, unreached}
	f.span = resized(f.span, len(f.kind))
	for _, i := range f.cells {
		f.span[i] = unreached
	}
	list := f.directions()
	for round := range maxRounds {
		short, long := f.layShort(list, least, carry)
		if !short && !long {
			return sequential // nothing left has an anchor at both ends
		}
		if !short {
			break
		}
		sequential = round > 0
	}
	for round := range maxRounds {
		if !f.layLong(list, least) {
			break
		}
		sequential = sequential || round > 0
	}
	return sequential
}

// maxRounds bounds how often bridge lines may rest on earlier bridge lines.
const maxRounds = 4

// layShort lays every bridge line of length least to carry and reports whether there
// was any, and whether there would be a longer one.
func (f *patchGrid) layShort(list []float64, least, carry float32) (short, long bool) {
	if len(f.left) == 0 {
		return false, false
	}
	f.listEntries()
	for _, d := range list {
		f.eachBridgeLine(d, func(c *bridgeLine) {
			switch {
			case c.length > carry:
				long = true
				f.carries[1] = min(f.carries[1], c.length)
			case c.length >= least:
				f.carries[0] = max(f.carries[0], c.length)
				for _, at := range c.steps {
					if s := &f.span[c.base+at]; c.length < *s {
						*s = c.length
					}
				}
			}
		})
	}
	return f.settle(shortBridge), long
}

// settle makes the given kind of what is newly crossed, and reports whether
// anything is.
func (f *patchGrid) settle(kind uint8) bool {
	n := 0
	for _, at := range f.left {
		if f.span[at] < unreached {
			f.kind[at] = kind
			continue
		}
		f.left[n] = at
		n++
	}
	any := n < len(f.left)
	f.left = f.left[:n]
	return any
}

// equal is the share of the best count at which a direction leaves as little
// unbridged as the best: the lattice alone moves counts by a percent or two.
// Judgement, no source.
const equal = 0.97

// layLong lays the bridge lines of the best direction of each piece that is left:
// of those that bridge most, the one whose longest bridge line is shortest.
func (f *patchGrid) layLong(list []float64, least float32) bool {
	pieces := f.pieces()
	if pieces == 0 {
		return false
	}
	f.listEntries()
	pieces++ // they are numbered from 1
	f.work.count, f.work.reach = resized(f.work.count, len(list)*pieces), resized(f.work.reach, len(list)*pieces)
	count, reach := f.work.count, f.work.reach
	clear(count)
	clear(reach)
	for n, d := range list {
		row := n * pieces
		f.eachBridgeLine(d, func(c *bridgeLine) {
			if c.length >= least {
				at := row + int(f.pieceOf(c))
				count[at] += int32(len(c.steps))
				reach[at] = max(reach[at], c.length)
			}
		})
	}
	f.choose(len(list), pieces)
	chosen := f.work.chosen
	for n, d := range list {
		if !slices.Contains(chosen, int32(n)) {
			continue
		}
		f.eachBridgeLine(d, func(c *bridgeLine) {
			if c.length >= least && chosen[f.pieceOf(c)] == int32(n) {
				for _, at := range c.steps {
					f.span[c.base+at] = c.length
				}
			}
		})
	}
	f.layAlongEdges(least, pieces)
	return f.settle(longBridge)
}

// choose picks the direction of each piece, -1 where none bridges anything.
func (f *patchGrid) choose(directions, pieces int) {
	count, reach := f.work.count, f.work.reach
	f.work.chosen = resized(f.work.chosen, pieces)
	for p := range pieces {
		most := int32(0)
		for n := range directions {
			most = max(most, count[n*pieces+p])
		}
		best := -1
		for n := range directions {
			at := n*pieces + p
			if count[at] == 0 || float64(count[at]) < equal*float64(most) {
				continue
			}
			if best < 0 || reach[at] < reach[best*pieces+p] {
				best = n
			}
		}
		f.work.chosen[p] = int32(best)
	}
}

// pieceOf is the piece a bridge line crosses; a bridge line never leaves its piece.
func (f *patchGrid) pieceOf(c *bridgeLine) int32 { return f.work.label[c.base+c.steps[0]] }

// pieces labels the connected pieces of what no bridge line crosses yet.
func (f *patchGrid) pieces() int {
	f.work.label = resized(f.work.label, len(f.kind))
	label := f.work.label
	for _, at := range f.left {
		label[at] = 0
	}
	near := f.near()
	n := int32(0)
	for _, first := range f.left {
		if label[first] != 0 {
			continue
		}
		n++
		label[first] = n
		stack := append(f.work.queue[:0], first)
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, d := range near {
				if next := at + d; f.kind[next] == unsupported && label[next] == 0 {
					label[next] = n
					stack = append(stack, next)
				}
			}
		}
		f.work.queue = stack
	}
	return int(n)
}
