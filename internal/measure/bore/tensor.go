package bore

import (
	"math"

	"printlint/internal/mesh"
)

// tensor is the sum of directions, each times itself and its weight: a symmetric matrix, of
// which the upper half is kept.
type tensor struct{ xx, xy, xz, yy, yz, zz float64 }

func (s *tensor) add(v mesh.Vec, weight float64) {
	s.xx += float64(weight * float64(v.X*v.X))
	s.xy += float64(weight * float64(v.X*v.Y))
	s.xz += float64(weight * float64(v.X*v.Z))
	s.yy += float64(weight * float64(v.Y*v.Y))
	s.yz += float64(weight * float64(v.Y*v.Z))
	s.zz += float64(weight * float64(v.Z*v.Z))
}

// ends are the directions that the sum weighs least and most along, by turning the matrix
// until nothing is left beside its diagonal (Jacobi's method).
func (s *tensor) ends() (least, most mesh.Vec) {
	m := [3][3]float64{{s.xx, s.xy, s.xz}, {s.xy, s.yy, s.yz}, {s.xz, s.yz, s.zz}}
	v := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for range 12 { // it doubles the digits each time; five are enough
		for _, pair := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			turnAway(&m, &v, pair[0], pair[1])
		}
	}
	low, high := 0, 0
	for k := 1; k < 3; k++ {
		if m[k][k] < m[low][low] {
			low = k
		}
		if m[k][k] > m[high][high] {
			high = k
		}
	}
	column := func(k int) mesh.Vec { return mesh.Vec{X: v[0][k], Y: v[1][k], Z: v[2][k]}.Unit() }
	return column(low), column(high)
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

// across is a direction square to another.
func across(a mesh.Vec) mesh.Vec {
	other := mesh.Vec{X: 1}
	if math.Abs(a.X) > 0.6 {
		other = mesh.Vec{Y: 1}
	}
	return a.Cross(other).Unit()
}
