package advise

import (
	"math"

	"printlint/internal/mesh"
)

// principal returns the principal axes of a surface: a plane of symmetry is square to one of
// them. Its second moments are turned to a diagonal by Jacobi's rotations.
func principal(m *mesh.Mesh) [3]mesh.Vec {
	var middle mesh.Vec
	area := 0.0
	each := func(f func(mesh.Vec, float64)) {
		for i := range m.Tris {
			a, b, c := m.Corners(i)
			f(a.Add(b).Add(c).Scale(1.0/3), m.Normal(i).Len()/2)
		}
	}
	each(func(p mesh.Vec, weight float64) { middle, area = middle.Add(p.Scale(weight)), area+weight })
	if area > 0 {
		middle = middle.Scale(1 / area)
	}
	var moments [3][3]float64
	each(func(p mesh.Vec, weight float64) {
		d := p.Sub(middle)
		v := [3]float64{d.X, d.Y, d.Z}
		for i := range 3 {
			for k := range 3 {
				moments[i][k] += float64(weight * v[i] * v[k])
			}
		}
	})
	axes := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for range 8 { // sweeps; each squares what is left beside the diagonal
		for _, of := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			rotate(&moments, &axes, of[0], of[1])
		}
	}
	var list [3]mesh.Vec
	for k := range list {
		list[k] = mesh.Vec{X: axes[0][k], Y: axes[1][k], Z: axes[2][k]}
	}
	return list
}

// rotate makes the element p, q of a symmetric matrix zero, and turns the axes with it.
func rotate(a, axes *[3][3]float64, p, q int) {
	if a[p][q] == 0 {
		return
	}
	angle := math.Atan2(2*a[p][q], a[q][q]-a[p][p]) / 2
	s, c := math.Sincos(angle)
	for k := range 3 {
		a[k][p], a[k][q] = float64(c*a[k][p])-float64(s*a[k][q]), float64(s*a[k][p])+float64(c*a[k][q])
		axes[k][p], axes[k][q] = float64(c*axes[k][p])-float64(s*axes[k][q]), float64(s*axes[k][p])+float64(c*axes[k][q])
	}
	for k := range 3 {
		a[p][k], a[q][k] = float64(c*a[p][k])-float64(s*a[q][k]), float64(s*a[p][k])+float64(c*a[q][k])
	}
}
