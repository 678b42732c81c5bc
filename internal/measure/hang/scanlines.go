package hang

import (
	"cmp"
	"math"
	"slices"
)

// Directions are degrees in [0, 180) from the x axis.

// directionStep is the step of the directions that are always tried. Judgement, no source.
const directionStep = 15

// peakDirections is how many further directions are taken from the patch itself: a fan of
// ribs needs one a rib. Judgement, no source.
const peakDirections = 12

// directions lists where bridge lines could run: evenly spread ones, and those in which
// the distance to the anchors climbs, which are square to the anchoring edges. A
// deck turned by an odd angle is only crossed whole along the latter.
func (f *patchGrid) directions() []float64 {
	var votes [180]float64
	for _, at := range f.cells {
		i := int(at)
		if f.far[i] < 2 || f.far[i] == unreached {
			continue
		}
		gx, gy := float64(f.far[i+1])-float64(f.far[i-1]), float64(f.far[i+f.cols])-float64(f.far[i-f.cols])
		if n := math.Abs(gx) + math.Abs(gy); n < 1 || n > 4 {
			continue // a ridge, or the edge of what is known
		}
		votes[degree(gx, gy)]++
	}
	list := make([]float64, 0, 180/directionStep+peakDirections)
	for d := 0; d < 180; d += directionStep {
		list = append(list, float64(d))
	}
	list = append(list, strongest(votes)...)
	if len(f.beside) > 0 { // a narrow strip is crossed from end to end only along its own direction, to a cell
		var all spreadSum
		for _, at := range f.cells {
			all.add(f.point(at))
		}
		list = append(list, halfTurn(along(all)))
	}
	return list
}

// slopes is in how many steps the first 45 degrees are divided by slope.
const slopes = 4096

// degrees holds for each step of slope the whole degree nearest to it, or mixed
// where two share the step.
var degrees = func() (table [slopes + 1]uint8) {
	nearest := func(slope float64) uint8 { return uint8(math.Atan(slope)*180/math.Pi + .5) }
	const slack = 1e-9 // far more than any rounding
	for i := range table {
		table[i] = nearest(float64(i) / slopes)
		if nearest(max(0, float64(i)/slopes-slack)) != nearest(float64(i+1)/slopes+slack) {
			table[i] = mixed
		}
	}
	return table
}()

const mixed = 255

// degree is the whole degree nearest to a direction, that and its opposite being the
// same. Only near the middle between two degrees is the angle itself needed.
func degree(x, y float64) int {
	low, high := math.Abs(y), math.Abs(x)
	steep := low > high
	if steep {
		low, high = high, low
	}
	deg := int(degrees[int(low/high*slopes)])
	if deg == mixed {
		return int(math.Mod(math.Atan2(y, x)*180/math.Pi+180.5, 180)) % 180
	}
	if steep {
		deg = 90 - deg
	}
	if (x < 0) != (y < 0) && deg > 0 {
		deg = 180 - deg
	}
	return deg
}

// peakFactor is how many times the mean vote makes a direction stand out: round patches
// climb in every direction alike and need none beside the spread. Judgement, no source.
const peakFactor = 3

// strongest returns the strongest directions of the vote, each the mean over three
// degrees, leaving out neighbours of those already taken.
func strongest(votes [180]float64) []float64 {
	all := 0.0
	for i := range votes {
		all += votes[i]
	}
	sum := func(i int) float64 { return votes[(i+179)%180] + votes[i] + votes[(i+1)%180] }
	var order []int
	for i := range votes {
		if sum(i) >= 8 && sum(i) >= peakFactor*all*3/180 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(sum(b), sum(a)) })
	var list []float64
	for _, i := range order {
		if len(list) == peakDirections {
			break
		}
		mean := float64(i) + (votes[(i+1)%180]-votes[(i+179)%180])/sum(i)
		if !listed(list, mean) {
			list = append(list, mean)
		}
	}
	return list
}

// listed reports whether a direction within two degrees is in the list.
func listed(list []float64, deg float64) bool {
	for _, d := range list {
		if gap := math.Abs(d - deg); gap < 2 || gap > 178 {
			return true
		}
	}
	return false
}

// bridgeLine is a stretch of cells that hang on one line whose two ends both meet
// anchors enough to hold it, and hang in the same layer or the next: a strand is laid in
// one layer, and what will hold its other end many layers later does not exist yet.
type bridgeLine struct {
	base   int32   // what to add to the steps
	steps  []int32 // the cells
	length float32 // in grid cells
}

// lineEntry is a cell that hangs beside an anchor: a line can enter there.
type lineEntry struct {
	at           int32 // the cell
	major, minor int32 // its place along the line's major and minor axis
}

// listEntries lists where lines, which all run towards larger x or larger y, can come
// from an anchor onto what is left: no stretch begins anywhere else.
func (f *patchGrid) listEntries() {
	alongX, alongY := f.work.entries[0][:0], f.work.entries[1][:0]
	cols := int32(f.cols)
	y, begin := int32(-1), -cols
	for _, at := range f.left {
		for at-begin >= cols {
			y, begin = y+1, begin+cols
		}
		above, below := f.kind[at-cols-1:at-cols+2], f.kind[at+cols-1]
		if max(above[0], f.kind[at-1], below) >= anchorCell {
			alongX = append(alongX, lineEntry{at, at - begin, y})
		}
		if max(above[0], above[1], above[2]) >= anchorCell {
			alongY = append(alongY, lineEntry{at, y, at - begin})
		}
	}
	f.work.entries = [2][]lineEntry{alongX, alongY}
}

// eachBridgeLine lays lines over the grid in one direction and calls f for every bridge line.
// Each cell lies on exactly one line of a direction. The edges must be listed.
func (f *patchGrid) eachBridgeLine(deg float64, each func(c *bridgeLine)) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if math.Abs(cos) >= math.Abs(sin) {
		f.scan(f.work.entries[0], f.cols, f.rows, 1, f.cols, sin/cos, 1/math.Abs(cos), each)
	} else {
		f.scan(f.work.entries[1], f.rows, f.cols, f.cols, 1, cos/sin, 1/math.Abs(sin), each)
	}
}

// scan steps along the major axis; the minor one follows by slope, shifted so that
// the lines tile the grid. unit is the length of one step.
func (f *patchGrid) scan(edges []lineEntry, major, minor, majorStride, minorStride int, slope, unit float64, each func(*bridgeLine)) {
	f.work.shift, f.work.step = resized(f.work.shift, major), resized(f.work.step, major)
	l := scanLine{kind: f.kind, shift: f.work.shift, step: f.work.step, minor: int32(minor)}
	for i := range l.shift {
		l.shift[i] = int32(math.Floor(float64(float64(i)*slope) + 0.5))
		l.step[i] = int32(i*majorStride) + l.shift[i]*int32(minorStride)
	}
	var c bridgeLine
	for _, e := range edges {
		l.start, l.base = e.minor-l.shift[e.major], e.at-l.step[e.major]
		from := int(e.major)
		if !l.anchored(from-f.anchorSteps, from) {
			continue
		}
		to := from + 1
		for f.kind[l.base+l.step[to]] == unsupported {
			to++
		}
		if l.anchored(to, to+f.anchorSteps) && f.level(l.base, l.step[from:to]) {
			c = bridgeLine{l.base, l.step[from:to], float32(float64(to-from) * unit)}
			each(&c)
		}
	}
}

// endCells is at how many cells of each end of a line the layers are looked up: in an arch
// of steps, which step is the first that hangs differs from side to side by a cell.
// Judgement, no source.
const endCells = 3

// level reports whether both ends of a line begin to hang in one layer or in two that
// follow each other, be it past steps that carry when the rest of it is laid.
func (f *patchGrid) level(base int32, steps []int32) bool {
	if f.endsLevel(base, steps) {
		return true
	}
	from, to := 0, len(steps)
	for n := f.stepAt(base, steps, from, 1); n > 0; n = f.stepAt(base, steps, from, 1) {
		from += n
	}
	for n := f.stepAt(base, steps, to-1, -1); n > 0 && to-n > from; n = f.stepAt(base, steps, to-1, -1) {
		to -= n
	}
	return (from > 0 || to < len(steps)) && f.endsLevel(base, steps[from:to])
}

func (f *patchGrid) endsLevel(base int32, steps []int32) bool {
	n := min(endCells, len(steps))
	low, high := f.layersAt(base, steps[:n])
	low2, high2 := f.layersAt(base, steps[len(steps)-n:])
	return max(low, low2) <= min(high, high2)+1
}

// stepAt returns how many cells deep the step is that a line begins with, seen one way: what
// comes behind it hangs some layers above, by when the step carries. It is 0 where there is none.
func (f *patchGrid) stepAt(base int32, steps []int32, from, way int) int {
	low := f.low[base+steps[from]]
	for n := 1; n <= f.stepCells[maxAge] && from+n*way >= 0 && from+n*way < len(steps); n++ {
		up := f.low[base+steps[from+n*way]] - low
		if up < 0 || up > maxAge {
			return 0
		}
		if up > 0 {
			if n <= f.stepCells[up] {
				return n
			}
			return 0
		}
	}
	return 0
}

// layersAt returns the lowest and the highest of the layers in which cells begin to hang.
func (f *patchGrid) layersAt(base int32, steps []int32) (low, high int32) {
	low, high = math.MaxInt32, 0
	for _, at := range steps {
		k := f.low[base+at]
		low, high = min(low, k), max(high, k)
	}
	return low, high
}

// scanLine is one of many lines side by side.
type scanLine struct {
	kind        []uint8
	shift, step []int32 // of its minor coordinate and of its cell, by step
	start       int32   // minor coordinate at the first step
	base        int32   // cell at the first step
	minor       int32   // how far the grid reaches
}

// anchored reports whether there are anchors from one step to before another.
func (l *scanLine) anchored(from, to int) bool {
	if from < 0 || to > len(l.step) {
		return false
	}
	for i, at := range l.step[from:to] {
		if m := l.start + l.shift[from+i]; m < 0 || m >= l.minor || l.kind[l.base+at] < anchorCell {
			return false
		}
	}
	return true
}
