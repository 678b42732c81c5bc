package spatial

import (
	"math"
	"math/big"
)

// point is a corner widened to float64.
type point [3]float64

// triPlane is the plane of a triangle, prepared for asking on which side points lie.
type triPlane struct {
	a, b, c point
	normal  point // (b - a) x (c - a)
	size    point // the same with every product made positive
}

func newTriPlane(a, b, c point) triPlane {
	p := triPlane{a: a, b: b, c: c}
	u, v := sub(b, a), sub(c, a)
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		x, y := float64(u[i]*v[j]), float64(u[j]*v[i])
		p.normal[k], p.size[k] = x-y, math.Abs(x)+math.Abs(y)
	}
	return p
}

// sideSlack bounds the rounding error of side, as a share of the sum of the absolute
// values of all six products: differences, two products and two sums round eight
// times at most on any way, and 8 * 2^-53 * (1 + 2^-40) is below this.
const sideSlack = 0x1p-49

// side returns 1 when d lies on the side that the normal points to, -1 on the other
// side, and 0 in the plane itself, exactly. Floating point decides unless the result
// is within its error.
func (p *triPlane) side(d point) int {
	x, y, z := d[0]-p.a[0], d[1]-p.a[1], d[2]-p.a[2]
	det := float64(p.normal[0]*x) + float64(p.normal[1]*y) + float64(p.normal[2]*z)
	bound := float64(p.size[0]*math.Abs(x)) + float64(p.size[1]*math.Abs(y)) + float64(p.size[2]*math.Abs(z))
	if math.Abs(det) > float64(bound*sideSlack) {
		if det > 0 {
			return 1
		}
		return -1
	}
	if bound == 0 {
		return 0
	}
	return exactSide(p.a, p.b, p.c, d)
}

// clears says, from three corners at most extent away from p.a along every axis, that
// they surely all lie on one side of the plane; skip is a corner to leave out, or -1.
func (p *triPlane) clears(c *[9]float32, extent float64, skip int) bool {
	bound := (p.size[0] + p.size[1] + p.size[2]) * extent * sideSlack
	up, down := true, true
	for k := range 3 {
		if k == skip {
			continue
		}
		x, y, z := float64(c[3*k])-p.a[0], float64(c[3*k+1])-p.a[1], float64(c[3*k+2])-p.a[2]
		det := float64(p.normal[0]*x) + float64(p.normal[1]*y) + float64(p.normal[2]*z)
		up = up && det > bound
		down = down && det < -bound
	}
	return up || down
}

// orient is the side of the plane through a, b, c on which d lies. Corners that
// neighbours share often are two of the four, which needs no arithmetic.
func orient(a, b, c, d point) int {
	if d == b || d == c || d == a || b == c || a == b || a == c {
		return 0
	}
	p := newTriPlane(a, b, c)
	return p.side(d)
}

func sub(a, b point) point { return point{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// exactSide decides by sums of floats that together carry every bit (Shewchuk,
// Adaptive precision floating-point arithmetic, 1997), or by long numbers where even
// a difference of coordinates does not fit a float64.
func exactSide(a, b, c, d point) int {
	u, ok1 := exactSub(b, a)
	v, ok2 := exactSub(c, a)
	w, ok3 := exactSub(d, a)
	if !ok1 || !ok2 || !ok3 {
		return longSide(a, b, c, d)
	}
	var sum [24]float64
	n := 0
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		for _, q := range [2][3]float64{{u[i], v[j], w[k]}, {-u[j], v[i], w[k]}} {
			hi, lo := twoProduct(q[0], q[1])
			for _, part := range [2]float64{lo, hi} {
				x, e := twoProduct(part, q[2])
				n = grow(&sum, n, e)
				n = grow(&sum, n, x)
			}
		}
	}
	for n > 0 {
		n--
		if sum[n] != 0 {
			return int(math.Copysign(1, sum[n]))
		}
	}
	return 0
}

// exactSub returns a - b and whether that is exact. It also answers no for numbers so
// small or large that their products might leave the range of float64.
func exactSub(a, b point) (point, bool) {
	var d point
	for k := range 3 {
		d[k] = a[k] - b[k]
		back := d[k] - a[k]
		if (a[k]-(d[k]-back))+(-b[k]-back) != 0 {
			return d, false
		}
		if x := math.Abs(d[k]); x != 0 && (x < 0x1p-200 || x > 0x1p200) {
			return d, false
		}
	}
	return d, true
}

// twoProduct returns a product and the part of it that was rounded away.
func twoProduct(a, b float64) (product, rest float64) {
	product = a * b
	return product, math.FMA(a, b, -product)
}

// grow adds x to the n floats of a sum, keeping every bit, and returns how many
// floats there are then.
func grow(sum *[24]float64, n int, x float64) int {
	for i := range n {
		s := sum[i] + x
		back := s - sum[i]
		rest := (sum[i] - (s - back)) + (x - back)
		sum[i], x = rest, s
	}
	sum[n] = x
	return n + 1
}

// longBits is a precision at which the determinant of differences of float32 numbers
// is exact: they are whole multiples of 2^-149 below 2^129.
const longBits = 3*(149+129) + 8

func longSide(a, b, c, d point) int {
	long := func(x, y float64) *big.Float {
		z := new(big.Float).SetPrec(longBits).SetFloat64(x)
		return z.Sub(z, new(big.Float).SetPrec(longBits).SetFloat64(y))
	}
	sum := new(big.Float).SetPrec(longBits)
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		x, y := long(b[i], a[i]), long(b[j], a[j])
		x.Mul(x, long(c[j], a[j]))
		y.Mul(y, long(c[i], a[i]))
		x.Sub(x, y)
		sum.Add(sum, x.Mul(x, long(d[k], a[k])))
	}
	return sum.Sign()
}
