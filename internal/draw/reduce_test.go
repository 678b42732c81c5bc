package draw

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// back is the mesh that a shape stands for.
func back(s *Shape) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := 0; i < len(s.Corners); i += 3 {
		at := func(k int) float64 { return float64(float64(s.Corners[i+k]) * s.Step) }
		m.Verts = append(m.Verts, mesh.Point{float32(s.Min[0] + at(0)), float32(s.Min[1] + at(1)), float32(s.Min[2] + at(2))})
	}
	for i := 0; i < len(s.Tris); i += 3 {
		m.Tris = append(m.Tris, mesh.Tri{uint32(s.Tris[i]), uint32(s.Tris[i+1]), uint32(s.Tris[i+2])})
	}
	return m
}

// TestSmallModelsStayExact holds that a model within the number keeps every triangle.
func TestSmallModelsStayExact(t *testing.T) {
	m := mesh.Weld(shapes.Hook())
	s := Reduce(m, [9]float64{}, nil, 100)
	require.Len(t, s.Tris, 3*len(m.Tris))
	assert.Len(t, s.Levels, len(m.Tris))
	assert.InDelta(t, m.Volume(), back(s).Volume(), 0.01*m.Volume())
	assert.InDelta(t, m.Area(), back(s).Area(), 0.01*m.Area())
}

// TestLargeModelsKeepTheirForm holds the number of triangles, and that what is left is
// nearly as large and as heavy.
func TestLargeModelsKeepTheirForm(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{"ball": shapes.Ball(20, 200), "torus": shapes.Torus(20, 6, 200, 80), "rod": shapes.ThreadedRod(5, 1, 40, 64)} {
		m := mesh.Weld(soup)
		for _, most := range []int{500, 2000, 6000} {
			s := Reduce(m, [9]float64{}, nil, most)
			n := len(s.Tris) / 3
			assert.LessOrEqual(t, n, most*11/10, name)
			assert.Greater(t, n, most/8, name)
			small := back(s)
			assert.InDelta(t, 1, small.Volume()/m.Volume(), 0.2, "%s, %d", name, most)
			a, b := m.Box().Size(), small.Box().Size()
			assert.InDelta(t, a.X, b.X, 0.12*a.X, name)
			assert.InDelta(t, a.Z, b.Z, 0.12*max(a.X, a.Z), name)
			for i := range s.Tris {
				require.Less(t, int(s.Tris[i]), len(s.Corners)/3)
			}
		}
	}
}

// TestReduceIsTheSameEveryTime holds that nothing depends on the order of a map.
func TestReduceIsTheSameEveryTime(t *testing.T) {
	m := mesh.Weld(shapes.Ball(20, 100))
	marks := undersides(m, finding.Error)
	first := Reduce(m, [9]float64{}, marks, 800)
	for range 3 {
		assert.Equal(t, first, Reduce(m, [9]float64{}, marks, 800))
	}
}

// TestReducedShapesKeepTheirMarks holds that findings are still painted, with their level.
func TestReducedShapesKeepTheirMarks(t *testing.T) {
	for level, want := range map[finding.Level]uint8{finding.Error: 1, finding.Warning: 2, finding.Note: 3} {
		m := mesh.Weld(shapes.Ball(20, 100))
		s := Reduce(m, [9]float64{}, undersides(m, level), 800)
		marked := 0
		for _, l := range s.Levels {
			if l != 0 {
				assert.Equal(t, want, l)
				marked++
			}
		}
		assert.InDelta(t, 0.5, float64(marked)/float64(len(s.Levels)), 0.15, "half of a ball looks down")
	}
}

func TestReduceInAPose(t *testing.T) {
	s := Reduce(mesh.Weld(shapes.T()), [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}, nil, 100)
	m := back(s)
	assert.InDelta(t, 0, m.Box().Min.Z, 1e-3, "it lies on the bed")
	low := 0.0
	for _, v := range m.Verts {
		if v[2] < 1 {
			low = math.Max(low, float64(v[0]))
		}
	}
	assert.InDelta(t, 50, low, 0.01, "with its bar below")
}

func TestReduceOfNextToNothing(t *testing.T) {
	point := mesh.Weld(&mesh.Triangles{Corners: []mesh.Point{{1, 2, 3}, {1, 2, 3}, {1, 2, 3}}})
	assert.Empty(t, Reduce(point, [9]float64{}, nil, 10).Tris)
	m := mesh.Weld(shapes.Ball(10, 60))
	assert.LessOrEqual(t, len(Reduce(m, [9]float64{}, nil, 1).Tris)/3, 60)
}
