package hang

import "math"

// slanted is how much longer a bridge line along an open edge may be than the longest of those
// beside it: up to about 45 degrees askew to them. Judgement, no source.
const slanted = 1.42

// leastEdge is how many cells an open edge has at least along which lines are laid, and
// mostEdges how many such edges a round looks at. Judgement, no source.
const (
	leastEdge = 4
	mostEdges = 64
)

// layAlongEdges lays bridge lines along the open edges of what the chosen directions leave. The
// outline of a layer is laid first: where it runs from carrier to carrier, be it askew, the
// lines that end on it have hold. These lines follow an edge and need no more than the others
// do, so that they make no bridge longer.
func (f *patchGrid) layAlongEdges(least float32, pieces int) {
	chosen, reach := f.work.chosen, f.work.reach
	for _, d := range f.openEdges() {
		f.eachBridgeLine(d, func(c *bridgeLine) {
			p := f.pieceOf(c)
			if chosen[p] < 0 || c.length < least {
				return
			}
			longest := reach[int(chosen[p])*pieces+int(p)]
			if c.length > slanted*longest {
				return
			}
			for _, at := range c.steps {
				if s := &f.span[c.base+at]; *s == unreached {
					*s = longest
				}
			}
		})
	}
}

// openEdges lists the directions of the edges that what is left shares with the air: of each
// piece of it that hangs together, the one along which these cells lie.
func (f *patchGrid) openEdges() []float64 {
	f.work.stage = resized(f.work.stage, len(f.kind))
	stage := f.work.stage
	any := false
	for _, at := range f.left {
		if stage[at] = f.span[at] == unreached; !stage[at] {
			any = true
		}
	}
	var list []float64
	if any { // else nothing is bridged
		for _, at := range f.left {
			if stage[at] && len(list) < mostEdges {
				if deg, ok := f.openEdge(at); ok && !listed(list, deg) {
					list = append(list, deg)
				}
			}
		}
	}
	for _, at := range f.left {
		stage[at] = false
	}
	return list
}

// openEdge is the direction of the open edge of the piece around a cell, which it takes off the
// stage; false where it has none to speak of.
func (f *patchGrid) openEdge(first int32) (deg float64, ok bool) {
	stage, cols := f.work.stage, int32(f.cols)
	near := [8]int32{-cols - 1, -cols, -cols + 1, -1, 1, cols - 1, cols, cols + 1}
	stage[first] = false
	stack := append(f.work.queue[:0], first)
	var n, sx, sy, sxx, syy, sxy int64
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if f.kind[at-1] == empty || f.kind[at+1] == empty || f.kind[at-cols] == empty || f.kind[at+cols] == empty {
			x, y := int64(at%cols-first%cols), int64(at/cols-first/cols)
			n, sx, sy, sxx, syy, sxy = n+1, sx+x, sy+y, sxx+x*x, syy+y*y, sxy+x*y
		}
		for _, d := range near {
			if next := at + d; f.kind[next] == unsupported && stage[next] {
				stage[next] = false
				stack = append(stack, next)
			}
		}
	}
	f.work.queue = stack
	if n < leastEdge {
		return 0, false
	}
	deg = math.Atan2(float64(2*(n*sxy-sx*sy)), float64(n*sxx-sx*sx-n*syy+sy*sy)) / 2 * 180 / math.Pi
	return math.Mod(deg+180, 180), true
}
