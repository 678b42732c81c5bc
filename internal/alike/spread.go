package alike

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// spread is what no export changes of a surface: its area, its middle, and how it spreads
// about that along three axes square to each other.
type spread struct {
	area   float64
	middle mesh.Vec
	value  [3]float64 // mean square distance along each axis, rising
	axis   [3]mesh.Vec
}

func spreadOf(m *mesh.Mesh) (s spread) {
	var sum mesh.Vec
	for t := range m.Tris {
		a, b, c := m.Corners(t)
		area := m.Normal(t).Len() / 2
		s.area += area
		sum = sum.Add(a.Add(b).Add(c).Scale(area / 3))
	}
	if s.area == 0 {
		return s
	}
	s.middle = sum.Scale(1 / s.area)
	// Over a triangle the mean of x*y is that of the corners' products and of the product
	// of their sums: (sum x_i*y_i + sum x_i * sum y_i) / 12.
	var c [6]float64 // xx, yy, zz, xy, xz, yz
	for t := range m.Tris {
		area := m.Normal(t).Len() / 2
		var corners [3]mesh.Vec
		corners[0], corners[1], corners[2] = m.Corners(t)
		var all mesh.Vec
		for i := range corners {
			corners[i] = corners[i].Sub(s.middle)
			all = all.Add(corners[i])
		}
		for _, v := range [4]mesh.Vec{corners[0], corners[1], corners[2], all} {
			w := area / 12
			for i, p := range [6]float64{v.X * v.X, v.Y * v.Y, v.Z * v.Z, v.X * v.Y, v.X * v.Z, v.Y * v.Z} {
				c[i] += float64(p * w)
			}
		}
	}
	for i := range c {
		c[i] /= s.area
	}
	s.value, s.axis = axes(&[3][3]float64{{c[0], c[3], c[4]}, {c[3], c[1], c[5]}, {c[4], c[5], c[2]}})
	return s
}

// axes are the eigenvectors of a symmetric matrix by their values, rising, by rotations
// that each take one entry away (Jacobi's method).
func axes(a *[3][3]float64) (value [3]float64, axis [3]mesh.Vec) {
	v := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for range 30 {
		for _, at := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			i, j := at[0], at[1]
			if math.Abs(a[i][j]) < 1e-300 {
				continue
			}
			theta := (a[j][j] - a[i][i]) / (2 * a[i][j])
			t := math.Copysign(1, theta) / (math.Abs(theta) + math.Sqrt(float64(theta*theta)+1))
			cos := 1 / math.Sqrt(float64(t*t)+1)
			sin := t * cos
			for k := range 3 {
				x, y := a[k][i], a[k][j]
				a[k][i], a[k][j] = float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y)
			}
			for k := range 3 {
				x, y := a[i][k], a[j][k]
				a[i][k], a[j][k] = float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y)
				x, y = v[k][i], v[k][j]
				v[k][i], v[k][j] = float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y)
			}
		}
	}
	order := []int{0, 1, 2}
	slices.SortStableFunc(order, func(i, j int) int {
		if a[i][i] < a[j][j] {
			return -1
		}
		return 1
	})
	for n, i := range order {
		value[n], axis[n] = a[i][i], mesh.Vec{X: v[0][i], Y: v[1][i], Z: v[2][i]}
	}
	return value, axis
}

// alikeBy is how much the spread of one shape may differ, as a share, when it is told in
// other triangles. Judgement: balls of 320 and of 1280 triangles differ by 3 %.
const alikeBy = 0.01

// spreadsAs says that one surface spreads as another does, size aside.
func (s *spread) spreadsAs(o *spread) bool {
	for i := range s.value {
		a, b := s.value[i]/s.area, o.value[i]/o.area
		if math.Abs(a-b) > alikeBy*max(s.value[2]/s.area, o.value[2]/o.area) {
			return false
		}
	}
	return true
}

// distinct says that the axes of a surface are sure: it spreads along each of them by
// more than along the one before.
func (s *spread) distinct() bool {
	const apart = 1e-5 // of the largest; what float32 leaves of many corners. Judgement
	return s.value[1]-s.value[0] > apart*s.value[2] && s.value[2]-s.value[1] > apart*s.value[2]
}
