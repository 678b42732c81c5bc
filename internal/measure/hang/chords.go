package hang

import (
	"bytes"
	"math"
	"slices"
	"sort"
)

// Directions are degrees in [0, 180) from the x axis.

// spread is the step of the directions that are always tried.
const spread = 15

// peaks is how many further directions are taken from the patch itself: a fan of
// ribs needs one a rib.
const peaks = 12

// directions lists where chords could run: evenly spread ones, and those in which
// the distance to the carriers climbs, which are square to the carrying edges. A
// deck turned by an odd angle is only crossed whole along the latter.
func (f *field) directions() []float64 {
	var votes [180]float64
	for y := 1; y < f.rows-1; y++ {
		for x := 1; x < f.cols-1; x++ {
			i := y*f.cols + x
			if f.kind[i] != patch || f.far[i] < 2 || f.far[i] == never {
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
	list := make([]float64, 0, 180/spread+peaks)
	for d := 0; d < 180; d += spread {
		list = append(list, float64(d))
	}
	return append(list, top(votes)...)
}

// crowd is how many times the mean vote makes a direction stand out: round patches
// climb in every direction alike and need none beside the spread.
const crowd = 3

// top returns the strongest directions of the vote, each the mean over three
// degrees, leaving out neighbours of those already taken.
func top(votes [180]float64) []float64 {
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
		if len(list) == peaks || sum(i) < 8 || sum(i) < crowd*all*3/180 {
			break
		}
		mean := float64(i) + (votes[(i+1)%180]-votes[(i+179)%180])/sum(i)
		if !taken(list, mean) {
			list = append(list, mean)
		}
	}
	return list
}

// taken reports whether a direction within two degrees is in the list.
func taken(list []float64, deg float64) bool {
	for _, d := range list {
		if gap := math.Abs(d - deg); gap < 2 || gap > 178 {
			return true
		}
	}
	return false
}

// chord is a stretch of patch cells on one line whose two ends both meet a carrier.
type chord struct {
	stride   int     // step of the major axis
	from, to int     // steps along the major axis
	start    int     // minor coordinate of the line
	minor    int     // step of the minor axis
	length   float32 // in field cells
}

// cells calls f for every cell of the chord.
func (c *chord) cells(shift []int32, f func(i int)) {
	for s := c.from; s < c.to; s++ {
		f(s*c.stride + (c.start+int(shift[s]))*c.minor)
	}
}

// cross lays lines over the field in one direction and calls f for every chord.
// Each cell lies on exactly one line of a direction.
func (f *field) cross(deg float64, each func(c *chord, shift []int32)) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if math.Abs(cos) >= math.Abs(sin) {
		f.lines(f.cols, f.rows, 1, f.cols, sin/cos, 1/math.Abs(cos), each)
	} else {
		f.lines(f.rows, f.cols, f.cols, 1, cos/sin, 1/math.Abs(sin), each)
	}
}

// lines steps along the major axis; the minor one follows by slope, shifted so that
// the lines tile the field. unit is the length of one step.
func (f *field) lines(major, minor, majorStride, minorStride int, slope, unit float64, each func(*chord, []int32)) {
	if cap(f.work.shift) < major {
		f.work.shift, f.work.step = make([]int32, major), make([]int32, major)
	}
	shift, step := f.work.shift[:major], f.work.step[:major]
	for i := range shift {
		shift[i] = int32(math.Floor(float64(float64(i)*slope) + 0.5))
		step[i] = int32(i*majorStride) + shift[i]*int32(minorStride)
	}
	low, high := min(0, int(shift[major-1])), max(0, int(shift[major-1]))
	c := chord{stride: majorStride, minor: minorStride}
	var t stretch
	if rising(shift) {
		t = stretch{major, major}
	}
	for start := -high; start < minor-low; start++ {
		t.move(shift, start, minor)
		base := int32(start * minorStride)
		held, holds := 0, false // carriers just before, and whether the stretch has enough
		in := false
		for i, at := range step[t.from:t.to] {
			switch kind := f.kind[base+at]; {
			case kind == patch:
				if !in {
					c.from, holds, in = t.from+i, held >= f.hold, true
				}
				held = 0
			case kind >= solid:
				if in && holds && f.holdsOn(step[t.from+i:t.to], base) {
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

// stretch is the part of a line that lies in the field; it only moves one way from
// one line to the next.
type stretch struct{ from, to int }

// move takes the stretch to the line where start + shift must be in [0, minor).
func (t *stretch) move(shift []int32, start, minor int) {
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

// holdsOn reports whether the line goes on with enough carriers.
func (f *field) holdsOn(step []int32, base int32) bool {
	if len(step) < f.hold {
		return false
	}
	for _, at := range step[:f.hold] {
		if f.kind[base+at] < solid {
			return false
		}
	}
	return true
}

// bridgeOver finds what can be bridged, and leaves the length of the strand through
// every bridged cell in span. Strands of up to carry field cells may run in any
// direction and carry what is laid beside them, round after round. What is left
// needs longer strands: each piece of it takes the one direction that leaves least
// of it unbridged, and those strands carry nothing. Strands shorter than least are
// steps of the lattice, not strands. It reports whether later rounds found more.
func (f *field) bridgeOver(least, carry float32) (sequential bool) {
	for i := range f.span {
		f.span[i] = never
	}
	list := f.directions()
	for round := range maxRounds {
		short, long := f.shortStrands(list, least, carry)
		if !short && !long {
			return sequential // nothing left has a carrier at both ends
		}
		if !short {
			break
		}
		sequential = round > 0
	}
	for round := range maxRounds {
		if !f.longStrands(list, least) {
			break
		}
		sequential = sequential || round > 0
	}
	return sequential
}

// maxRounds bounds how often strands may rest on earlier strands.
const maxRounds = 4

// shortStrands lays every strand of length least to carry and reports whether there
// was any, and whether there would be a longer one.
func (f *field) shortStrands(list []float64, least, carry float32) (short, long bool) {
	if bytes.IndexByte(f.kind, patch) < 0 {
		return false, false
	}
	for _, d := range list {
		f.cross(d, func(c *chord, shift []int32) {
			switch {
			case c.length > carry:
				long = true
			case c.length >= least:
				c.cells(shift, func(i int) { f.span[i] = min(f.span[i], c.length) })
			}
		})
	}
	for i, k := range f.kind {
		if k == patch && f.span[i] < never {
			f.kind[i], short = bridge, true
		}
	}
	return short, long
}

// equal is the share of the best count at which a direction leaves as little
// unbridged as the best: the lattice alone moves counts by a percent or two.
const equal = 0.97

// longStrands lays the strands of the best direction of each piece that is left:
// of those that bridge most, the one whose longest strand is shortest.
func (f *field) longStrands(list []float64, least float32) bool {
	pieces := f.pieces()
	if pieces == 0 {
		return false
	}
	count := make([]int32, len(list)*(pieces+1)) // cells bridged, by direction and piece
	reach := make([]float32, len(count))         // longest strand
	for n, d := range list {
		row := n * (pieces + 1)
		f.cross(d, func(c *chord, shift []int32) {
			if c.length >= least {
				at := row + int(f.pieceOf(c, shift))
				count[at] += int32(c.to - c.from)
				reach[at] = max(reach[at], c.length)
			}
		})
	}
	chosen := choose(count, reach, len(list), pieces+1)
	any := false
	for n, d := range list {
		if !slices.Contains(chosen, n) {
			continue
		}
		f.cross(d, func(c *chord, shift []int32) {
			if c.length >= least && chosen[f.pieceOf(c, shift)] == n {
				any = true
				c.cells(shift, func(i int) { f.span[i] = c.length })
			}
		})
	}
	for i, k := range f.kind {
		if k == patch && f.span[i] < never {
			f.kind[i] = strand
		}
	}
	return any
}

// choose picks the direction of each piece, -1 where none bridges anything.
func choose(count []int32, reach []float32, directions, pieces int) []int {
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

// pieceOf is the piece a chord crosses; a chord never leaves its piece.
func (f *field) pieceOf(c *chord, shift []int32) int32 {
	return f.work.label[c.from*c.stride+(c.start+int(shift[c.from]))*c.minor]
}

// pieces labels the connected pieces of what no strand crosses yet.
func (f *field) pieces() int {
	if cap(f.work.label) < len(f.kind) {
		f.work.label = make([]int32, len(f.kind))
	}
	label := f.work.label[:len(f.kind)]
	clear(label)
	f.work.label = label
	n := int32(0)
	for i, k := range f.kind {
		if k != patch || label[i] != 0 {
			continue
		}
		n++
		label[i] = n
		stack := append(f.work.queue[:0], int32(i))
		for len(stack) > 0 {
			at := int(stack[len(stack)-1])
			stack = stack[:len(stack)-1]
			for _, next := range [8]int{at - f.cols - 1, at - f.cols, at - f.cols + 1, at - 1, at + 1, at + f.cols - 1, at + f.cols, at + f.cols + 1} {
				if f.kind[next] == patch && label[next] == 0 {
					label[next] = n
					stack = append(stack, int32(next))
				}
			}
		}
		f.work.queue = stack
	}
	return int(n)
}
