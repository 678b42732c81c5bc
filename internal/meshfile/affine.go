package meshfile

import (
	"math"

	"printlint/internal/mesh"
)

// affine turns, scales, shears and moves: three rows for the axes and one for the move,
// as 3MF writes it (3MF core specification 1.4, 3.3: row vectors, v' = v M).
type affine [12]float64

var identity = affine{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0}

// apply returns p moved; the only rounding to float32 is here.
func (m *affine) apply(p mesh.Point) mesh.Point {
	q := m.place(p)
	return mesh.Point{float32(q[0]), float32(q[1]), float32(q[2])}
}

// then returns the transform that does m first and n after it.
func (m *affine) then(n *affine) affine {
	var out affine
	for r := range 4 {
		for k := range 3 {
			s := float64(m[3*r]*n[k]) + float64(m[3*r+1]*n[3+k]) + float64(m[3*r+2]*n[6+k])
			if r == 3 {
				s += n[9+k]
			}
			out[3*r+k] = s
		}
	}
	return out
}

// volume is what m multiplies volumes by; negative where it mirrors.
func (m *affine) volume() float64 {
	return float64(m[0]*(float64(m[4]*m[8])-float64(m[5]*m[7]))) -
		float64(m[1]*(float64(m[3]*m[8])-float64(m[5]*m[6]))) +
		float64(m[2]*(float64(m[3]*m[7])-float64(m[4]*m[6])))
}

// finite tells whether all numbers are.
func (m *affine) finite() bool {
	for _, x := range m {
		if x-x != 0 {
			return false
		}
	}
	return true
}

// turned returns the transform that turns about x, then y, then z, by angles in degrees,
// and moves.
func turned(angles, move [3]float64) affine {
	m := identity
	for axis, deg := range angles {
		if deg == 0 {
			continue
		}
		s, c := math.Sincos(deg * math.Pi / 180)
		if math.Mod(deg, 90) == 0 {
			s, c = math.Round(s), math.Round(c) // quarter turns are exact
		}
		t, i, j := identity, (axis+1)%3, (axis+2)%3
		t[3*i+i], t[3*i+j], t[3*j+i], t[3*j+j] = c, s, -s, c
		m = m.then(&t)
	}
	copy(m[9:], move[:])
	return m
}
