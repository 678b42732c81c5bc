package shapes

import "printlint/internal/mesh"

// March returns the surface around all points where f is negative, found on a grid of
// n cells a side over the box by cutting each cell into six tetrahedra. f must be
// positive on the border of the box.
func March(f func(Vec) float64, box mesh.Box, n int) *mesh.Triangles {
	m := &marcher{s: new(mesh.Triangles), n: n, at: make([]Vec, 2*(n+1)*(n+1)), value: make([]float64, 2*(n+1)*(n+1))}
	step := box.Size().Scale(1 / float64(n))
	for k := range n + 1 {
		for j := range n + 1 {
			for i := range n + 1 {
				p := box.Min.Add(Vec{X: float64(i) * step.X, Y: float64(j) * step.Y, Z: float64(k) * step.Z})
				at := m.index(i, j, k)
				m.at[at], m.value[at] = p, f(p)
			}
		}
		if k > 0 {
			m.layer(k - 1)
		}
	}
	return m.s
}

// marcher keeps the two grid planes around the layer of cells being cut.
type marcher struct {
	s     *mesh.Triangles
	n     int
	at    []Vec
	value []float64
}

func (m *marcher) index(i, j, k int) int { return ((k%2)*(m.n+1)+j)*(m.n+1) + i }

// sixths are the six tetrahedra of a cell around its long diagonal from corner 0 to
// corner 7, corner = x + 2y + 4z. They match across the faces of neighbouring cells.
var sixths = [6][4]int{{0, 1, 3, 7}, {0, 3, 2, 7}, {0, 2, 6, 7}, {0, 6, 4, 7}, {0, 4, 5, 7}, {0, 5, 1, 7}}

func (m *marcher) layer(k int) {
	for j := range m.n {
		for i := range m.n {
			for _, t := range sixths {
				var in, out []int
				for _, c := range t {
					at := m.index(i+c&1, j+c>>1&1, k+c>>2)
					if m.value[at] < 0 {
						in = append(in, at)
					} else {
						out = append(out, at)
					}
				}
				m.tetra(in, out)
			}
		}
	}
}

// tetra appends the one or two triangles between the corners inside and outside.
func (m *marcher) tetra(in, out []int) {
	switch {
	case len(in) == 1:
		m.face(in[0], m.cut(in[0], out[0]), m.cut(in[0], out[1]), m.cut(in[0], out[2]))
	case len(in) == 3:
		m.face(in[0], m.cut(in[0], out[0]), m.cut(in[1], out[0]), m.cut(in[2], out[0]))
	case len(in) == 2:
		a, b := m.cut(in[0], out[0]), m.cut(in[0], out[1])
		c, d := m.cut(in[1], out[1]), m.cut(in[1], out[0])
		m.face(in[0], a, b, c)
		m.face(in[0], a, c, d)
	}
}

// cut is where the surface crosses the edge between a corner inside and one outside.
// It keeps clear of both, so that no triangle shrinks to nothing in float32, and is
// the same from every cell around the edge.
func (m *marcher) cut(in, out int) Vec {
	t := m.value[in] / (m.value[in] - m.value[out])
	t = min(max(t, 0.02), 0.98)
	return m.at[in].Scale(1 - t).Add(m.at[out].Scale(t))
}

// face appends a b c wound so that the given corner inside lies behind it.
func (m *marcher) face(inside int, a, b, c Vec) {
	if b.Sub(a).Cross(c.Sub(a)).Dot(m.at[inside].Sub(a)) > 0 {
		b, c = c, b
	}
	tri(m.s, a, b, c)
}
