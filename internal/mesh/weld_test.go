package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The seed of the hash differs from process to process; the mesh must not.
func TestWeldDoesNotDependOnTheSeed(t *testing.T) {
	keep := weldSeed
	defer func() { weldSeed = keep }()
	r := rand.New(rand.NewPCG(1, 2))
	s := &Triangles{}
	for range 3000 {
		s.Corners = append(s.Corners, Point{float32(r.IntN(9)), float32(r.IntN(9)), float32(r.IntN(9))})
	}
	first := Weld(s)
	for range 5 {
		weldSeed = [2]uint64{r.Uint64() | 1, r.Uint64() | 1}
		require.Equal(t, first, Weld(s))
	}
}

// Even a hash that sends everything to a few slots finds every vertex.
func TestWeldSurvivesCollisions(t *testing.T) {
	keep := weldSeed
	defer func() { weldSeed = keep }()
	weldSeed = [2]uint64{0, 0}
	s := &Triangles{}
	for i := range 900 {
		s.Corners = append(s.Corners, Point{float32(i % 300), float32(i % 7), 1})
	}
	m := Weld(s)
	seen := map[Point]bool{}
	for _, v := range m.Verts {
		require.False(t, seen[v], "a vertex twice")
		seen[v] = true
	}
	for i, tri := range m.Tris {
		for k, v := range tri {
			require.Equal(t, s.Corners[3*i+k], m.Verts[v])
		}
	}
}

// The table grows from nothing to many vertices, also when no corner is shared.
func TestWeldGrows(t *testing.T) {
	for _, n := range []int{0, 1, 2, 5, 6, 7, 100, 5000} {
		s := &Triangles{}
		for i := range 3 * n {
			s.Corners = append(s.Corners, Point{float32(i), 0, float32(i) / 3})
		}
		m := Weld(s)
		assert.Len(t, m.Verts, 3*n)
		assert.Len(t, m.Tris, n)
	}
}

// Neighbouring floats are different places, whatever they look like when printed.
func TestWeldIsExact(t *testing.T) {
	x := float32(0.1)
	y := math.Nextafter32(x, 1)
	m := Weld(&Triangles{Corners: []Point{{x, 0, 0}, {y, 0, 0}, {x, 0, 0}}})
	assert.Equal(t, []Point{{x, 0, 0}, {y, 0, 0}}, m.Verts)
	assert.Equal(t, []Tri{{0, 1, 0}}, m.Tris)
}

// The source of each triangle is handed on, and a rest of one or two corners is not
// a triangle.
func TestWeldKeepsTheSource(t *testing.T) {
	s := &Triangles{Corners: make([]Point, 8), Source: Source{Lines: []uint32{3, 10}, Offset: 84, Stride: 50}}
	m := Weld(s)
	assert.Equal(t, s.Source, m.Source)
	assert.Len(t, m.Tris, 2)
}
