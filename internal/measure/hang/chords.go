package hang

import (
	"math"
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

// top returns the strongest directions of the vote, each the mean over three
// degrees, leaving out neighbours of those already taken.
func top(votes [180]float64) []float64 {
	order := make([]int, 180)
	for i := range order {
		order[i] = i
	}
	sum := func(i int) float64 { return votes[(i+179)%180] + votes[i] + votes[(i+1)%180] }
	sort.SliceStable(order, func(a, b int) bool { return sum(order[a]) > sum(order[b]) })
	var list []float64
	for _, i := range order {
		if len(list) == peaks || sum(i) < 8 {
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

// cross lays lines over the field in one direction and lowers the span of every
// cell of the patch that lies on a stretch whose two ends both meet a carrier. Each
// cell lies on exactly one line of a direction.
func (f *field) cross(deg float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	if math.Abs(cos) >= math.Abs(sin) {
		f.lines(f.cols, f.rows, 1, f.cols, sin/cos, 1/math.Abs(cos))
	} else {
		f.lines(f.rows, f.cols, f.cols, 1, cos/sin, 1/math.Abs(sin))
	}
}

// lines steps along the major axis; the minor one follows by slope, shifted so that
// the lines tile the field. unit is the length of one step.
func (f *field) lines(major, minor, majorStride, minorStride int, slope, unit float64) {
	shift := make([]int, major)
	for i := range shift {
		shift[i] = int(math.Floor(float64(float64(i)*slope) + 0.5))
	}
	low, high := min(0, shift[major-1]), max(0, shift[major-1])
	for start := -high; start < minor-low; start++ {
		from, carried := 0, false // the stretch begun, and whether a carrier is at its start
		before := uint8(empty)
		for i := 0; i < major; i++ {
			m := start + shift[i]
			kind := uint8(empty)
			if m >= 0 && m < minor {
				kind = f.kind[i*majorStride+m*minorStride]
			}
			if kind == patch {
				if before != patch {
					from, carried = i, before >= solid
				}
			} else if before == patch && carried && kind >= solid {
				f.lower(from, i, start, shift, majorStride, minorStride, float32(float64(i-from)*unit))
			}
			before = kind
		}
	}
}

// lower notes a chord on the cells it crosses.
func (f *field) lower(from, to, start int, shift []int, majorStride, minorStride int, length float32) {
	for i := from; i < to; i++ {
		at := i*majorStride + (start+shift[i])*minorStride
		f.span[at] = min(f.span[at], length)
	}
}

// bridgeOver finds what can be bridged: chords between carriers first; then
// strands no longer than carry (in field cells) carry what is laid beside them, and
// chords are looked for again. Spans of every bridged cell are left in span, the
// cells marked; sequential reports whether a later round found more.
func (f *field) bridgeOver(carry float32) (sequential bool) {
	for i := range f.span {
		f.span[i] = never
	}
	list := f.directions()
	for round := range maxRounds {
		for _, d := range list {
			f.cross(d)
		}
		more, short := false, false
		for i, k := range f.kind {
			if k != patch || f.span[i] == never {
				continue
			}
			more = true
			if f.span[i] <= carry {
				f.kind[i], short = bridge, true
			}
		}
		sequential = sequential || round > 0 && more
		if !short {
			break
		}
	}
	return sequential
}

// maxRounds bounds how often strands may rest on earlier strands.
const maxRounds = 4
