package meshfile

import (
	"math"
	"strconv"
)

// exactPow10 are the powers of ten that float64 holds exactly.
var exactPow10 = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// exactNumber reads a decimal number whose digits and whose power of ten float64 both hold
// exactly, so that one operation rounds it as well as can be. That is nearly every number
// in a file, and takes a third of the time of strconv; false for all others, and for what
// is no number.
func exactNumber(b []byte) (float64, bool) {
	i, neg := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		i, neg = 1, b[0] == '-'
	}
	mant, start, exp := uint64(0), i, 0
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		mant = mant*10 + uint64(b[i]-'0')
	}
	digits := i - start
	if i < len(b) && b[i] == '.' {
		i++
		point := i
		for ; i < len(b) && b[i]-'0' <= 9; i++ {
			mant = mant*10 + uint64(b[i]-'0')
		}
		exp = point - i
		digits += i - point
	}
	if digits == 0 || digits > 19 || mant > 1<<53 { // 19 digits always fit in 64 bits
		return 0, false
	}
	if i < len(b) {
		e, ok := exponent(b[i:])
		if exp += e; !ok {
			return 0, false
		}
	}
	x := float64(mant)
	switch {
	case exp >= len(exactPow10) || -exp >= len(exactPow10):
		return 0, false
	case exp < 0:
		x /= exactPow10[-exp]
	default:
		x *= exactPow10[exp]
	}
	if neg {
		x = -x
	}
	return x, true
}

// exponent reads what may follow the digits of a number: e, a sign, and a digit or two.
func exponent(b []byte) (e int, ok bool) {
	i, neg := 1, false
	if len(b) > 1 && (b[1] == '-' || b[1] == '+') {
		i, neg = 2, b[1] == '-'
	}
	if b[0]|0x20 != 'e' || i == len(b) || len(b) > i+2 {
		return 0, false
	}
	for ; i < len(b); i++ {
		if b[i]-'0' > 9 {
			return 0, false
		}
		e = e*10 + int(b[i]-'0')
	}
	if neg {
		e = -e
	}
	return e, true
}

// anyNumber leaves a decimal number to strconv, which also knows other ways to write one.
// Too large a number is infinite.
func anyNumber(b []byte, bits int) (float64, bool) {
	for _, c := range b {
		if c-'0' > 9 && c != '.' && c != '-' && c != '+' && c|0x20 != 'e' {
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(string(b), bits)
	return x, err == nil || math.IsInf(x, 0)
}

// parse32 returns the float32 nearest to a decimal number, the same bits as
// strconv.ParseFloat(s, 32); false where b is not written as one. Rounding twice is wrong
// only where the float64 lies in the very middle between two float32.
func parse32(b []byte) (float32, bool) {
	const lowBits, middle = 1<<29 - 1, 1 << 28 // what float64 has and float32 has not
	x, ok := exactNumber(b)
	if !ok || math.Float64bits(x)&lowBits == middle {
		x, ok = anyNumber(b, 32)
	}
	return float32(x), ok
}

// parse64 is the same for float64, for coordinates that a unit is still to be applied to.
func parse64(b []byte) (float64, bool) {
	x, ok := exactNumber(b)
	if !ok {
		x, ok = anyNumber(b, 64)
	}
	return x, ok
}

// parseMM returns a coordinate in mm.
func parseMM(b []byte, scale float64) (float32, bool) {
	if scale == 1 {
		return parse32(b)
	}
	x, ok := parse64(b)
	return float32(x * scale), ok
}
