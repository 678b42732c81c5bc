package hang

import (
	"math"
	"slices"
)

// slanted is how much longer a bridge line along an open edge may be than the longest of those
// beside it: up to about 45 degrees askew to them. Judgement, no source.
const slanted = 1.42

// leastEdge is how many cells an open edge has at least along which lines are laid, and
// mostEdges how many such edges a round looks at. Judgement, no source.
const (
	leastEdge = 4
	mostEdges = 64
)

// besideLine is how many cells beside a bridge line count as held by it: the lattice turns lines by up to
// a degree, which leaves a rim of so many beside a long one. Judgement, no source.
const besideLine = 4

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
// piece of it that hangs together, the one along which these cells lie. The pieces are taken twice: without
// the cells beside bridge lines, a rim of which would join what lies at both ends of a line, and with them,
// since small ones have no other cells.
func (f *patchGrid) openEdges() (list []float64) {
	for _, beside := range [...]int{besideLine, 0} {
		if f.setStage(beside) { // else nothing is bridged
			for _, at := range f.left {
				if f.work.stage[at] && len(list) < mostEdges {
					if deg, ok := f.openEdge(at); ok && !listed(list, deg) {
						list = append(list, deg)
					}
				}
			}
		}
		for _, at := range f.left {
			f.work.stage[at] = false
		}
	}
	return list
}

// setStage puts what no bridge line crosses on the stage, but for the cells up to so many steps beside such
// lines, and reports whether there is any line.
func (f *patchGrid) setStage(beside int) bool {
	f.work.stage = resized(f.work.stage, len(f.kind))
	stage, near := f.work.stage, f.near()
	held := f.work.queue[:0]
	for _, at := range f.left {
		if stage[at] = f.span[at] == unreached; !stage[at] {
			held = append(held, at)
		}
	}
	any := len(held) > 0
	for begin := 0; beside > 0; beside-- {
		end := len(held)
		for _, at := range held[begin:end] {
			for _, d := range near {
				if next := at + d; stage[next] {
					stage[next] = false
					held = append(held, next)
				}
			}
		}
		begin = end
	}
	f.work.queue = held
	return any
}

// openEdge is the direction of the open edge of the piece around a cell, which it takes off the
// stage; false where it has none to speak of.
func (f *patchGrid) openEdge(first int32) (deg float64, ok bool) {
	stage, cols, near := f.work.stage, int32(f.cols), f.near()
	stage[first] = false
	stack, open := append(f.work.queue[:0], first), f.work.open[:0]
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if f.kind[at-1] == empty || f.kind[at+1] == empty || f.kind[at-cols] == empty || f.kind[at+cols] == empty {
			open = append(open, at)
		}
		for _, d := range near {
			if next := at + d; f.kind[next] == unsupported && stage[next] {
				stage[next] = false
				stack = append(stack, next)
			}
		}
	}
	f.work.queue, f.work.open = stack, open
	return f.straight(open)
}

// strayed is how many cells a straight edge of cells may stray from its line. Judgement, no source.
const strayed = 2.5

// straight is the direction of the line along which at least four in five cells of an open edge lie, or of the two
// lines, as on both sides of an arm. It is false where there is no such line: around a hole that is round, nothing
// is laid from carrier to carrier.
func (f *patchGrid) straight(open []int32) (deg float64, ok bool) {
	if len(open) < leastEdge {
		return 0, false
	}
	slices.Sort(open) // sums are the same in whatever order they were found
	var all spreadSum
	for _, at := range open {
		all.add(f.point(at))
	}
	angle := along(all)
	if deg, ok = f.straightNear(open, angle); ok {
		return deg, true
	}
	return f.straightNear(open, angle+math.Pi/2) // an arm wider than its sides are long
}

// straightNear does so for a direction that is about right, in radians.
func (f *patchGrid) straightNear(open []int32, angle float64) (deg float64, ok bool) {
	low, high := math.Inf(1), math.Inf(-1)
	f.eachAside(open, angle, func(_ int32, aside float64) { low, high = min(low, aside), max(high, aside) })
	var sides [2]spreadSum // one is longer than the other, which skews the direction of both together
	f.eachAside(open, angle, func(at int32, aside float64) {
		side := 0
		if aside-low > high-aside {
			side = 1
		}
		sides[side].add(f.point(at))
	})
	angle = along(sides[:]...)
	a, b := sides[0].aside(angle), sides[1].aside(angle)
	n := 0
	f.eachAside(open, angle, func(_ int32, aside float64) {
		if min(math.Abs(aside-a), math.Abs(aside-b)) <= strayed {
			n++
		}
	})
	return halfTurn(angle), 5*n >= 4*len(open)
}

// eachAside tells how far each cell lies to the side of a line through the origin, in cells.
func (f *patchGrid) eachAside(open []int32, angle float64, each func(at int32, aside float64)) {
	sin, cos := math.Sincos(angle)
	for _, at := range open {
		x, y := f.point(at)
		each(at, float64(y*cos)-float64(x*sin))
	}
}

// point is the column and the row of a cell.
func (f *patchGrid) point(at int32) (x, y float64) {
	return float64(int(at) % f.cols), float64(int(at) / f.cols)
}

// spreadSum sums up how points lie spread.
type spreadSum struct{ n, x, y, xx, yy, xy float64 }

func (s *spreadSum) add(x, y float64) {
	s.n, s.x, s.y = s.n+1, s.x+x, s.y+y
	s.xx, s.yy, s.xy = s.xx+float64(x*x), s.yy+float64(y*y), s.xy+float64(x*y)
}

// aside is how far their middle lies to the side of a line through the origin, infinite where there are none.
func (s *spreadSum) aside(angle float64) float64 {
	if s.n == 0 {
		return math.Inf(1)
	}
	sin, cos := math.Sincos(angle)
	return float64(s.y/s.n*cos) - float64(s.x/s.n*sin)
}

// along is the direction in which they lie spread farthest, be it around a middle for each sum, in radians.
func along(sums ...spreadSum) float64 {
	var xx, yy, xy float64
	for _, s := range sums {
		if s.n > 0 {
			xx, yy, xy = xx+s.xx-float64(s.x*s.x/s.n), yy+s.yy-float64(s.y*s.y/s.n), xy+s.xy-float64(s.x*s.y/s.n)
		}
	}
	return math.Atan2(2*xy, xx-yy) / 2
}

// halfTurn is a direction in degrees from 0 to 180.
func halfTurn(angle float64) float64 { return math.Mod(angle*180/math.Pi+180, 180) }
