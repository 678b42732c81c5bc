package mesh

import (
	"math"
	"math/big"
)

// crossSlack bounds the rounding error of one component of the cross product in
// IsZero. A component is u1*v2 - u2*v1 with five roundings before the last: four
// differences of coordinates and two products, so relative to the larger product
// it is off by less than 2*(1+e)^4 - 2 + e, e = 2^-53, which is below 2^-49.
const crossSlack = 0x1p-49

// IsZero says whether the area of triangle i is exactly zero: its three corners, as
// stored, lie on one line. Floating point decides all but the doubtful cases, and
// those are computed exactly.
func (m *Mesh) IsZero(i int) bool {
	tri := &m.Tris[i]
	if tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
		return true
	}
	a, b, c := m.Corners(i)
	if _, sure := crossOf(b.Sub(a), c.Sub(a)); sure {
		return false
	}
	p, q, r := m.Verts[tri[0]], m.Verts[tri[1]], m.Verts[tri[2]]
	return onLine(p, q, r, 0, 1) && onLine(p, q, r, 1, 2) && onLine(p, q, r, 2, 0)
}

// crossOf returns the vector product, as Cross does, and whether it surely is not zero,
// whatever the roundings were.
func crossOf(u, v Vec) (n Vec, sure bool) {
	x1, x2 := float64(u.Y*v.Z), float64(u.Z*v.Y)
	y1, y2 := float64(u.Z*v.X), float64(u.X*v.Z)
	z1, z2 := float64(u.X*v.Y), float64(u.Y*v.X)
	n = Vec{x1 - x2, y1 - y2, z1 - z2}
	sure = math.Abs(n.Z) > float64(crossSlack*(math.Abs(z1)+math.Abs(z2))) ||
		math.Abs(n.X) > float64(crossSlack*(math.Abs(x1)+math.Abs(x2))) ||
		math.Abs(n.Y) > float64(crossSlack*(math.Abs(y1)+math.Abs(y2)))
	return n, sure
}

// exactBits is a precision at which sums and products of three float32 are exact:
// a float32 reaches from 2^-149 to 2^128, a difference of products of differences
// from 2^-298 to 2^259.
const exactBits = 640

// onLine says whether three points, seen along the axis that is neither i nor j,
// lie on one line, by exact arithmetic.
func onLine(p, q, r Point, i, j int) bool {
	left := exactProduct(q[i], p[i], r[j], p[j])
	return left.Cmp(exactProduct(q[j], p[j], r[i], p[i])) == 0
}

// exactProduct returns (a-b)*(c-d).
func exactProduct(a, b, c, d float32) *big.Float {
	wide := func(x float32) *big.Float { return new(big.Float).SetPrec(exactBits).SetFloat64(float64(x)) }
	left, right := wide(a), wide(c)
	left.Sub(left, wide(b))
	right.Sub(right, wide(d))
	return left.Mul(left, right)
}
