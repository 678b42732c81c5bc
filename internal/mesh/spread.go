package mesh

import (
	"cmp"
	"math"
	"slices"
)

// Tensor is a symmetric matrix of three rows: a sum of vectors, each times itself and its
// weight.
type Tensor struct{ XX, YY, ZZ, XY, XZ, YZ float64 }

// Add adds a vector with its weight.
func (s *Tensor) Add(v Vec, weight float64) {
	s.XX += float64(weight * float64(v.X*v.X))
	s.YY += float64(weight * float64(v.Y*v.Y))
	s.ZZ += float64(weight * float64(v.Z*v.Z))
	s.XY += float64(weight * float64(v.X*v.Y))
	s.XZ += float64(weight * float64(v.X*v.Z))
	s.YZ += float64(weight * float64(v.Y*v.Z))
}

// Axes are the directions, square to each other, along which the sum weighs least, more and
// most, with what it weighs there: its eigenvectors and eigenvalues, by turning the matrix
// until nothing is left beside its diagonal (Jacobi's method).
func (s *Tensor) Axes() (value [3]float64, axis [3]Vec) {
	m := [3][3]float64{{s.XX, s.XY, s.XZ}, {s.XY, s.YY, s.YZ}, {s.XZ, s.YZ, s.ZZ}}
	v := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for range 12 { // it doubles the digits each time; five are enough
		for _, pair := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			turnAway(&m, &v, pair[0], pair[1])
		}
	}
	order := []int{0, 1, 2}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(m[i][i], m[j][j]) })
	for n, k := range order {
		value[n], axis[n] = m[k][k], Vec{v[0][k], v[1][k], v[2][k]}.Unit()
	}
	return value, axis
}

// turnAway turns a matrix and its frame so that the entry of two axes becomes 0.
func turnAway(m, v *[3][3]float64, p, q int) {
	if m[p][q] == 0 {
		return
	}
	theta := (m[q][q] - m[p][p]) / (2 * m[p][q])
	t := 1 / (math.Abs(theta) + math.Sqrt(float64(theta*theta)+1))
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Sqrt(float64(t*t)+1)
	s := t * c
	for k := range 3 {
		a, b := m[k][p], m[k][q]
		m[k][p], m[k][q] = float64(c*a)-float64(s*b), float64(s*a)+float64(c*b)
	}
	for k := range 3 {
		a, b := m[p][k], m[q][k]
		m[p][k], m[q][k] = float64(c*a)-float64(s*b), float64(s*a)+float64(c*b)
		a, b = v[k][p], v[k][q]
		v[k][p], v[k][q] = float64(c*a)-float64(s*b), float64(s*a)+float64(c*b)
	}
	m[p][q], m[q][p] = 0, 0
}

// Spread is what no export changes of a surface: its area, its middle, and how it spreads
// about that along three axes square to each other.
type Spread struct {
	Area   float64 // mm2
	Middle Vec
	Value  [3]float64 // mm2: mean square distance along each axis, rising; 0 without an area
	Axis   [3]Vec
}

// Spread finds how the surface spreads. Over a triangle the mean of a product of coordinates
// is a twelfth of that over its corners and their sum.
func (m *Mesh) Spread() Spread {
	s := Spread{Area: m.Area(), Middle: m.Centroid()}
	var sum Tensor
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		a, b, c = a.Sub(s.Middle), b.Sub(s.Middle), c.Sub(s.Middle)
		share := m.Normal(t).Len() / 24
		for _, v := range [4]Vec{a, b, c, a.Add(b).Add(c)} {
			sum.Add(v, share)
		}
	}
	s.Value, s.Axis = sum.Axes()
	for i := range s.Value {
		s.Value[i] /= max(s.Area, math.SmallestNonzeroFloat64)
	}
	return s
}
