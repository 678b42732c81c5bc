package hang

import (
	"math"
	"slices"
	"sort"
)

// The plain grid goes over every cell for everything: what the grid does is held
// against it.

// plain is a grid with its scratch.
type plain struct {
	*patchGrid
	label         []int32
	shift, step   []int32
	column, bound []float32
	vertex        []int32
}

// plainLine is a stretch of one line.
type plainLine struct {
	stride, from, to, start, minor int
	length                         float32
}

func (f *plain) directions() []float64 {
	var votes [180]float64
	for y := 1; y < f.rows-1; y++ {
		for x := 1; x < f.cols-1; x++ {
			i := y*f.cols + x
			if f.kind[i] != unsupported || f.far[i] < 2 || f.far[i] == unreached {
				continue
			}
			gx, gy := float64(f.far[i+1])-float64(f.far[i-1]), float64(f.far[i+f.cols])-float64(f.far[i-f.cols])
			if n := math.Abs(gx) + math.Abs(gy); n < 1 || n > 4 {
				continue // a ridge, or the edge of what is known
			}
			deg := math.Mod(math.Atan2(gy, gx)*180/math.Pi+180.5, 180)
			votes[int(deg)%180]++
		}
	}
	list := make([]float64, 0, 180/directionStep+peakDirections)
	for d := 0; d < 180; d += directionStep {
		list = append(list, float64(d))
	}
	return append(list, plainTop(votes)...)
}

func plainTop(votes [180]float64) []float64 {
	order := make([]int, 180)
	all := 0.0
	for i := range order {
		order[i] = i
		all += votes[i]
	}
	sum := func(i int) float64 { return votes[(i+179)%180] + votes[i] + votes[(i+1)%180] }
	sort.SliceStable(order, func(a, b int) bool { return sum(order[a]) > sum(order[b]) })
	var list []float64
	for _, i := range order {
		if len(list) == peakDirections || sum(i) < 8 || sum(i) < peakFactor*all*3/180 {
			break
		}
		mean := float64(i) + (votes[(i+1)%180]-votes[(i+179)%180])/sum(i)
		if !listed(list, mean) {
			list = append(list, mean)
		}
	}
	return list
}

func (c *plainLine) cells(shift []int32, f func(i int)) {
	for s := c.from; s < c.to; s++ {
		f(s*c.stride + (c.start+int(shift[s]))*c.minor)
	}
}

func (f *plain) cross(deg float64, each func(c *plainLine, shift []int32)) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if math.Abs(cos) >= math.Abs(sin) {
		f.lines(f.cols, f.rows, 1, f.cols, sin/cos, 1/math.Abs(cos), each)
	} else {
		f.lines(f.rows, f.cols, f.cols, 1, cos/sin, 1/math.Abs(sin), each)
	}
}

func (f *plain) lines(major, minor, majorStride, minorStride int, slope, unit float64, each func(*plainLine, []int32)) {
	if cap(f.shift) < major {
		f.shift, f.step = make([]int32, major), make([]int32, major)
	}
	shift, step := f.shift[:major], f.step[:major]
	for i := range shift {
		shift[i] = int32(math.Floor(float64(float64(i)*slope) + 0.5))
		step[i] = int32(i*majorStride) + shift[i]*int32(minorStride)
	}
	low, high := min(0, int(shift[major-1])), max(0, int(shift[major-1]))
	c := plainLine{stride: majorStride, minor: minorStride}
	var t plainStretch
	if rising(shift) {
		t = plainStretch{major, major}
	}
	for start := -high; start < minor-low; start++ {
		t.move(shift, start, minor)
		base := int32(start * minorStride)
		held, holds := 0, false // anchors just before, and whether the stretch has enough
		in := false
		for i, at := range step[t.from:t.to] {
			switch kind := f.kind[base+at]; {
			case kind == unsupported:
				if !in {
					c.from, holds, in = t.from+i, held >= f.anchorSteps, true
				}
				held = 0
			case kind >= anchorCell:
				if in && holds && f.levelPastSteps(base, step[c.from:t.from+i]) && f.anchored(step[t.from+i:t.to], base) {
					c.start, c.to, c.length = start, t.from+i, float32(float64(t.from+i-c.from)*unit)
					each(&c, shift)
				}
				held++
				in = false
			default:
				held, in = 0, false
			}
		}
	}
}

// plainStretch is the part of a line that lies in the grid.
type plainStretch struct{ from, to int }

func (t *plainStretch) move(shift []int32, start, minor int) {
	least, most := int32(-start), int32(minor-start)
	if rising(shift) {
		for t.from > 0 && shift[t.from-1] >= least {
			t.from--
		}
		for t.to > 0 && shift[t.to-1] >= most {
			t.to--
		}
		return
	}
	for t.from < len(shift) && shift[t.from] >= most {
		t.from++
	}
	for t.to < len(shift) && shift[t.to] >= least {
		t.to++
	}
}

func rising(shift []int32) bool { return shift[len(shift)-1] >= shift[0] }

// level tells whether some cell at one end begins to hang no more than a layer above some
// cell at the other, both ways round.
func (f *plain) level(base int32, steps []int32) bool {
	over, under := false, false
	for i, a := range steps {
		for j, b := range steps {
			if i < endCells && j >= len(steps)-endCells {
				rise := f.low[base+a] - f.low[base+b]
				over, under = over || rise <= 1, under || rise >= -1
			}
		}
	}
	return over && under
}

// levelPastSteps tells the same of what is left when both ends go in past every step that carries.
func (f *plain) levelPastSteps(base int32, steps []int32) bool {
	if f.level(base, steps) {
		return true
	}
	for range 2 {
		for again := true; again; {
			again = false
			for n := 1; n < len(steps) && !again; n++ {
				up := f.low[base+steps[n]] - f.low[base+steps[0]]
				if up < 0 || up > maxAge || up > 0 && n > f.stepCells[up] {
					break
				}
				if up > 0 {
					steps, again = steps[n:], true
				}
			}
		}
		steps = slices.Clone(steps)
		slices.Reverse(steps)
	}
	return f.level(base, steps)
}

func (f *plain) anchored(step []int32, base int32) bool {
	if len(step) < f.anchorSteps {
		return false
	}
	for _, at := range step[:f.anchorSteps] {
		if f.kind[base+at] < anchorCell {
			return false
		}
	}
	return true
}

func (f *plain) bridgeOver(least, carry float32) (sequential bool) {
	for i := range f.span {
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

func (f *plain) layShort(list []float64, least, carry float32) (short, long bool) {
	if !slices.Contains(f.kind, unsupported) {
		return false, false
	}
	for _, d := range list {
		f.cross(d, func(c *plainLine, shift []int32) {
			switch {
			case c.length > carry:
				long = true
			case c.length >= least:
				c.cells(shift, func(i int) { f.span[i] = min(f.span[i], c.length) })
			}
		})
	}
	for i, k := range f.kind {
		if k == unsupported && f.span[i] < unreached {
			f.kind[i], short = shortBridge, true
		}
	}
	return short, long
}

func (f *plain) layLong(list []float64, least float32) bool {
	pieces := f.pieces()
	if pieces == 0 {
		return false
	}
	count := make([]int32, len(list)*(pieces+1)) // cells bridged, by direction and piece
	reach := make([]float32, len(count))         // longest bridge line
	for n, d := range list {
		row := n * (pieces + 1)
		f.cross(d, func(c *plainLine, shift []int32) {
			if c.length >= least {
				at := row + int(f.pieceOf(c, shift))
				count[at] += int32(c.to - c.from)
				reach[at] = max(reach[at], c.length)
			}
		})
	}
	chosen := plainChoose(count, reach, len(list), pieces+1)
	any := false
	for n, d := range list {
		if !slices.Contains(chosen, n) {
			continue
		}
		f.cross(d, func(c *plainLine, shift []int32) {
			if c.length >= least && chosen[f.pieceOf(c, shift)] == n {
				any = true
				c.cells(shift, func(i int) { f.span[i] = c.length })
			}
		})
	}
	var edges []float64
	if any {
		edges = f.plainEdges(f.plainEdges(nil, besideLine), 0)
	}
	for _, d := range edges {
		f.cross(d, func(c *plainLine, shift []int32) {
			p := int(f.pieceOf(c, shift))
			if chosen[p] < 0 {
				return
			}
			longest := reach[chosen[p]*(pieces+1)+p]
			if c.length >= least && c.length <= slanted*longest {
				c.cells(shift, func(i int) { f.span[i] = min(f.span[i], longest) })
			}
		})
	}
	for i, k := range f.kind {
		if k == unsupported && f.span[i] < unreached {
			f.kind[i] = longBridge
		}
	}
	return any
}

// plainEdges takes the direction of the open cells of each piece of what no line crosses or comes near,
// and then of what no line crosses, the pieces in the order of their first cells.
func (f *plain) plainEdges(list []float64, beside int) []float64 {
	around := []int{-f.cols - 1, -f.cols, -f.cols + 1, -1, 0, 1, f.cols - 1, f.cols, f.cols + 1}
	piece := map[int]int{}
	for i, k := range f.kind {
		if k == unsupported && f.span[i] == unreached {
			piece[i] = i
		}
	}
	for range beside {
		var held []int
		for i := range piece {
			beside := func(d int) bool { _, in := piece[i+d]; return f.kind[i+d] == unsupported && !in }
			if slices.ContainsFunc(around, beside) {
				held = append(held, i)
			}
		}
		for _, i := range held {
			delete(piece, i)
		}
	}
	for changed := true; changed; {
		changed = false
		for i := range f.kind {
			for _, d := range around {
				a, in := piece[i]
				if b, too := piece[i+d]; in && too && b < a {
					piece[i], changed = b, true
				}
			}
		}
	}
	for first := range f.kind {
		if own, in := piece[first]; !in || own != first {
			continue
		}
		var edge []int32
		for i := range f.kind {
			p, in := piece[i]
			open := func(d int) bool { return f.kind[i+d] == empty }
			if in && p == first && (open(-1) || open(1) || open(-f.cols) || open(f.cols)) {
				edge = append(edge, int32(i))
			}
		}
		if deg, ok := f.straight(edge); ok && !listed(list, deg) {
			list = append(list, deg)
		}
	}
	return list
}

func plainChoose(count []int32, reach []float32, directions, pieces int) []int {
	chosen := make([]int, pieces)
	for p := range chosen {
		most := int32(0)
		for n := range directions {
			most = max(most, count[n*pieces+p])
		}
		chosen[p] = -1
		for n := range directions {
			at := n*pieces + p
			if count[at] == 0 || float64(count[at]) < equal*float64(most) {
				continue
			}
			if chosen[p] < 0 || reach[at] < reach[chosen[p]*pieces+p] {
				chosen[p] = n
			}
		}
	}
	return chosen
}

func (f *plain) pieceOf(c *plainLine, shift []int32) int32 {
	return f.label[c.from*c.stride+(c.start+int(shift[c.from]))*c.minor]
}

func (f *plain) pieces() int {
	if cap(f.label) < len(f.kind) {
		f.label = make([]int32, len(f.kind))
	}
	label := f.label[:len(f.kind)]
	clear(label)
	f.label = label
	n := int32(0)
	var queue []int32
	for i, k := range f.kind {
		if k != unsupported || label[i] != 0 {
			continue
		}
		n++
		label[i] = n
		stack := append(queue[:0], int32(i))
		for len(stack) > 0 {
			at := int(stack[len(stack)-1])
			stack = stack[:len(stack)-1]
			for _, next := range [8]int{at - f.cols - 1, at - f.cols, at - f.cols + 1, at - 1, at + 1, at + f.cols - 1, at + f.cols, at + f.cols + 1} {
				if f.kind[next] == unsupported && label[next] == 0 {
					label[next] = n
					stack = append(stack, int32(next))
				}
			}
		}
		queue = stack
	}
	return int(n)
}

func (f *plain) measureFar(anchor func(uint8) bool) {
	f.far, f.span = make([]float32, len(f.kind)), make([]float32, len(f.kind))
	n := max(f.cols, f.rows) + 1
	if cap(f.column) < n {
		f.column, f.vertex, f.bound = make([]float32, n), make([]int32, n), make([]float32, n+1)
	}
	for x := range f.cols {
		f.columnPass(x, anchor)
	}
	for y := range f.rows {
		f.rowPass(f.far[y*f.cols : (y+1)*f.cols])
	}
}

func (f *plain) columnPass(x int, anchor func(uint8) bool) {
	last := float32(unreached)
	for y := range f.rows {
		i := y*f.cols + x
		if anchor(f.kind[i]) {
			last = 0
		} else if last < unreached {
			last++
		}
		f.far[i] = last
	}
	last = unreached
	for y := f.rows - 1; y >= 0; y-- {
		i := y*f.cols + x
		if f.far[i] == 0 {
			last = 0
		} else if last < unreached {
			last++
		}
		d := min(f.far[i], last)
		if d < unreached {
			d *= d
		}
		f.far[i] = d
	}
}

func (f *plain) rowPass(row []float32) {
	v, z, g := f.vertex, f.bound, f.column[:len(row)]
	copy(g, row)
	k := -1
	for q := range g {
		if g[q] == unreached {
			continue
		}
		var s float32
		for k >= 0 {
			p := int(v[k])
			s = (g[q] + float32(q*q) - g[p] - float32(p*p)) / float32(2*(q-p))
			if s > z[k] {
				break
			}
			k--
		}
		if k < 0 {
			s = -unreached
		}
		k++
		v[k], z[k] = int32(q), s
	}
	if k < 0 {
		for i := range row {
			row[i] = unreached
		}
		return
	}
	at := 0
	for q := range row {
		for at < k && z[at+1] < float32(q) {
			at++
		}
		d := float32(q - int(v[at]))
		row[q] = float32(math.Sqrt(float64(float32(d*d) + g[v[at]])))
	}
}
