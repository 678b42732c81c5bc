package mesh

import (
	"math"
	"math/big"
)

// findZero lists the triangles whose area is exactly zero.
func (m *Mesh) findZero(t *Topology) {
	for i := range m.Tris {
		if m.IsZero(i) {
			t.Zero = append(t.Zero, uint32(i))
		}
	}
}

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
	u, v := b.Sub(a), c.Sub(a)
	if sureNonZero(u.X, v.Y, u.Y, v.X) || sureNonZero(u.Y, v.Z, u.Z, v.Y) || sureNonZero(u.Z, v.X, u.X, v.Z) {
		return false
	}
	p, q, r := m.Verts[tri[0]], m.Verts[tri[1]], m.Verts[tri[2]]
	return onLine(p, q, r, 0, 1) && onLine(p, q, r, 1, 2) && onLine(p, q, r, 2, 0)
}

// sureNonZero says that a*b - c*d cannot be zero, whatever the roundings were.
func sureNonZero(a, b, c, d float64) bool {
	x, y := float64(a*b), float64(c*d)
	return math.Abs(x-y) > float64(crossSlack*max(math.Abs(x), math.Abs(y)))
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
