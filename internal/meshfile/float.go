package meshfile

import (
	"math"
	"strconv"
)

// decimal is a number as it is written: (-1)^neg * mant * 10^exp.
type decimal struct {
	mant uint64
	exp  int
	neg  bool
	cut  bool // digits were left out of mant
}

// maxDigits is how many decimal digits always fit in 64 bits.
const maxDigits = 19

// scanDecimal splits an optional sign, digits with at most one point, and an optional
// exponent; false for anything else.
func scanDecimal(b []byte) (d decimal, ok bool) {
	i := 0
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		d.neg = b[0] == '-'
		i = 1
	}
	start := i
	for i < len(b) && b[i]-'0' <= 9 {
		d.mant = d.mant*10 + uint64(b[i]-'0')
		i++
	}
	digits := i - start
	if i < len(b) && b[i] == '.' {
		i++
		point := i
		for i < len(b) && b[i]-'0' <= 9 {
			d.mant = d.mant*10 + uint64(b[i]-'0')
			i++
		}
		d.exp = point - i
		digits += i - point
	}
	if digits == 0 {
		return d, false
	}
	if digits > maxDigits {
		d.long(b[start:i])
	}
	if i < len(b) {
		e, ok := scanExponent(b[i:])
		d.exp += e
		return d, ok
	}
	return d, true
}

// long keeps the first digits that fit of a number with many; zeros in front do not count.
func (d *decimal) long(b []byte) {
	d.mant, d.exp = 0, 0
	kept, point := 0, false
	for _, c := range b {
		if c == '.' {
			point = true
			continue
		}
		if kept < maxDigits {
			d.mant = d.mant*10 + uint64(c-'0')
			if d.mant > 0 {
				kept++
			}
			if point {
				d.exp--
			}
			continue
		}
		d.cut = true
		if !point {
			d.exp++
		}
	}
}

func scanExponent(b []byte) (int, bool) {
	if b[0] != 'e' && b[0] != 'E' {
		return 0, false
	}
	i, neg := 1, false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		neg = b[i] == '-'
		i++
	}
	if i == len(b) {
		return 0, false
	}
	e := 0
	for ; i < len(b); i++ {
		if b[i]-'0' > 9 {
			return 0, false
		}
		if e < 100000 {
			e = e*10 + int(b[i]-'0')
		}
	}
	if neg {
		e = -e
	}
	return e, true
}

// maxPow is the largest power of ten kept; float32 ends at 3.4e38.
const maxPow = 38

var pow10 = [maxPow + 1]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
	1e20, 1e21, 1e22, 1e23, 1e24, 1e25, 1e26, 1e27, 1e28, 1e29, 1e30, 1e31, 1e32, 1e33, 1e34, 1e35, 1e36, 1e37, 1e38,
}

// exactPow is the largest power of ten that float64 holds exactly, exactMant the number
// from which it does not hold every integer.
const (
	exactPow  = 22
	exactMant = 1 << 53
)

// parse32 returns the float32 nearest to a decimal number, the same bits as
// strconv.ParseFloat(s, 32); false where b is not written as a number. Too large a
// number is infinite.
//
// The product in float64 is off by little more than 3 of its last places: one each for
// the mantissa, the power and the product, and digits beyond the 19th count for less
// than a hundredth. Its nearest float32 is therefore right unless it lies that close to the middle between
// two float32, where strconv decides; so it does for numbers too small to be normal.
func parse32(b []byte) (float32, bool) {
	d, ok := scanDecimal(b)
	if !ok {
		return 0, false
	}
	if d.exp < -maxPow || d.exp > maxPow {
		return slow32(b)
	}
	x := float64(d.mant)
	if d.exp < 0 {
		x /= pow10[-d.exp]
	} else {
		x *= pow10[d.exp]
	}
	const (
		lowBits = 1<<29 - 1 // what float64 has and float32 has not
		middle  = 1 << 28
		slack   = 4
	)
	if low := math.Float64bits(x) & lowBits; low-(middle-slack) <= 2*slack {
		return slow32(b)
	}
	if x < 0x1p-126 && d.mant != 0 || x > math.MaxFloat32 {
		return slow32(b)
	}
	if d.neg {
		x = -x
	}
	return float32(x), true
}

func slow32(b []byte) (float32, bool) {
	x, err := strconv.ParseFloat(string(b), 32)
	return float32(x), err == nil || math.IsInf(x, 0)
}

// parse64 is the same for float64, for coordinates that a unit is still to be applied to.
func parse64(b []byte) (float64, bool) {
	d, ok := scanDecimal(b)
	if !ok {
		return 0, false
	}
	if d.cut || d.mant > exactMant || d.exp < -exactPow || d.exp > exactPow {
		x, err := strconv.ParseFloat(string(b), 64)
		return x, err == nil || math.IsInf(x, 0)
	}
	x := float64(d.mant)
	if d.exp < 0 {
		x /= pow10[-d.exp]
	} else {
		x *= pow10[d.exp]
	}
	if d.neg {
		x = -x
	}
	return x, true
}

// parseMM returns a coordinate in mm.
func parseMM(b []byte, scale float64) (float32, bool) {
	if scale == 1 {
		return parse32(b)
	}
	x, ok := parse64(b)
	return float32(x * scale), ok
}
