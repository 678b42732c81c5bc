package spatial_test

import (
	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// whole is a corner on the grid of small whole numbers, where int64 is exact.
type whole [3]int64

func (a whole) minus(b whole) whole { return whole{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a whole) dot(b whole) int64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a whole) cross(b whole) whole {
	return whole{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// ratio is a fraction with a positive denominator.
type ratio struct{ n, d int64 }

func (a ratio) less(b ratio) bool { return a.n*b.d < b.n*a.d }

// gridCrossings is slowCrossings for corners on the grid.
func gridCrossings(m *mesh.Mesh) []spatial.Pair {
	var pairs []spatial.Pair
	for i := range m.Tris {
		for j := i + 1; j < len(m.Tris); j++ {
			same := 0
			for _, v := range m.Tris[i] {
				for _, w := range m.Tris[j] {
					if v == w {
						same++
					}
				}
			}
			if same < 2 && gridCross(corners(m, i), corners(m, j)) {
				pairs = append(pairs, spatial.Pair{uint32(i), uint32(j)})
			}
		}
	}
	return pairs
}

func corners(m *mesh.Mesh, i int) (t [3]whole) {
	for k, v := range m.Tris[i] {
		for x := range 3 {
			t[k][x] = int64(m.Verts[v][x])
		}
	}
	return t
}

func gridCross(a, b [3]whole) bool {
	na := a[1].minus(a[0]).cross(a[2].minus(a[0]))
	nb := b[1].minus(b[0]).cross(b[2].minus(b[0]))
	line := na.cross(nb)
	loA, hiA, okA := gridStretch(a, b[0], nb, line)
	loB, hiB, okB := gridStretch(b, a[0], na, line)
	return okA && okB && loA.less(hiB) && loB.less(hiA)
}

// gridStretch is stretch for corners on the grid.
func gridStretch(t [3]whole, on, n, line whole) (lo, hi ratio, ok bool) {
	var h, at [3]int64
	up, down := false, false
	for k := range 3 {
		h[k], at[k] = t[k].minus(on).dot(n), t[k].dot(line)
		up, down = up || h[k] > 0, down || h[k] < 0
	}
	if !up || !down {
		return lo, hi, false
	}
	first := true
	note := func(x ratio) {
		if x.d < 0 {
			x = ratio{-x.n, -x.d}
		}
		if first || x.less(lo) {
			lo = x
		}
		if first || hi.less(x) {
			hi = x
		}
		first = false
	}
	for k := range 3 {
		l := (k + 1) % 3
		if h[k] == 0 {
			note(ratio{at[k], 1})
		}
		if h[k] > 0 && h[l] < 0 || h[k] < 0 && h[l] > 0 {
			note(ratio{at[l]*h[k] - at[k]*h[l], h[k] - h[l]})
		}
	}
	return lo, hi, true
}
