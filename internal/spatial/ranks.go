package spatial

import "math"

// rank returns a whole number that stands among others as x does among floats. The
// smaller of two whole numbers is found without a branch, and which of two corners is
// lower is as good as chance.
func rank(x float32) int32 {
	b := int32(math.Float32bits(x))
	return b ^ int32(uint32(b>>31)>>1)
}

// value takes a rank back to its float.
func value(r int32) float32 {
	return math.Float32frombits(uint32(r ^ int32(uint32(r>>31)>>1)))
}

// ranks is a box by the ranks of its sides.
type ranks struct{ lo, hi [3]int32 }

// noRanks is the box of nothing: from infinity down to minus infinity.
var noRanks = ranks{
	[3]int32{rank(inf32), rank(inf32), rank(inf32)},
	[3]int32{rank(-inf32), rank(-inf32), rank(-inf32)},
}

var inf32 = float32(math.Inf(1))

func (b *ranks) include(o *ranks) {
	b.lo[0], b.hi[0] = min(b.lo[0], o.lo[0]), max(b.hi[0], o.hi[0])
	b.lo[1], b.hi[1] = min(b.lo[1], o.lo[1]), max(b.hi[1], o.hi[1])
	b.lo[2], b.hi[2] = min(b.lo[2], o.lo[2]), max(b.hi[2], o.hi[2])
}

// halfArea is half the surface of the box.
func (b *ranks) halfArea() float32 {
	x, y, z := value(b.hi[0])-value(b.lo[0]), value(b.hi[1])-value(b.lo[1]), value(b.hi[2])-value(b.lo[2])
	return float32(x*y) + float32(y*z) + float32(z*x)
}

// widest returns the longest side's axis, where it begins and how far it reaches, all
// taken times.
func (b *ranks) widest(times float32) (axis int, from, extent float32) {
	for k := range 3 {
		if reach := times * (value(b.hi[k]) - value(b.lo[k])); k == 0 || reach > extent {
			axis, from, extent = k, times*value(b.lo[k]), reach
		}
	}
	return axis, from, extent
}

func (b *ranks) box32() (box box32) {
	for k := range 3 {
		box.lo[k], box.hi[k] = value(b.lo[k]), value(b.hi[k])
	}
	return box
}
