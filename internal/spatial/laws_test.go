package spatial_test

import (
	"context"
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

// Twice as large, everything is twice as far: powers of two change no digit.
func TestDoubleSizeDoublesDistances(t *testing.T) {
	r := dice.New(t)
	for name, soup := range solids() {
		m, tree := build(t, soup)
		_, double := build(t, shapes.Scale(soup, 2))
		for range 300 {
			o, d := within(r, m.Box(), 1), direction(r)
			a, okA := tree.Ray(o, d, 0, math.Inf(1))
			b, okB := double.Ray(o.Scale(2), d, 0, math.Inf(1))
			require.Equal(t, okA, okB, name)
			if okA {
				require.Equal(t, 2*a.T, b.T, name)
				require.Equal(t, a.Tri, b.Tri, name)
			}
			_, triA, near := tree.Nearest(o)
			_, triB, far := double.Nearest(o.Scale(2))
			require.Equal(t, 2*near, far, name)
			require.Equal(t, triA, triB, name)
			require.Equal(t, tree.Winding(o, d), double.Winding(o.Scale(2), d), name)
		}
		assert.Equal(t, tree.Crossings(context.Background(), m, nil, 1000, 1),
			double.Crossings(context.Background(), mesh.Weld(shapes.Scale(soup, 2)), nil, 1000, 1), name)
	}
}

// A ray walked backward from where it ends meets the same triangles from the other
// side, in reverse.
func TestHitsBothWays(t *testing.T) {
	r := dice.New(t)
	for name, soup := range solids() {
		m, tree := build(t, soup)
		for range 300 {
			from, to := within(r, m.Box(), 3), within(r, m.Box(), 3)
			there := tree.Hits(from, to.Sub(from), 0, 1, nil)
			back := tree.Hits(to, from.Sub(to), 0, 1, nil)
			require.Len(t, back, len(there), name)
			for i, h := range there {
				b := back[len(back)-1-i]
				require.InDelta(t, h.T, 1-b.T, 1e-9, name)
				require.Equal(t, h.Tri, b.Tri, name)
				require.NotEqual(t, h.Into, b.Into, name)
			}
		}
	}
}

// Hits are sorted, the first is what Ray finds, and a buffer is appended to.
func TestHitsBeginWithTheNearest(t *testing.T) {
	r := dice.New(t)
	m, tree := build(t, shapes.Gyroid(16))
	buf := []spatial.RayHit{{T: -1}}
	several := 0
	for range 1000 {
		o, d := within(r, m.Box(), 3), direction(r)
		hits := tree.Hits(o, d, 0, 1e9, buf[:1])
		require.Equal(t, spatial.RayHit{T: -1}, hits[0])
		hits = hits[1:]
		for i := 1; i < len(hits); i++ {
			require.LessOrEqual(t, hits[i-1].T, hits[i].T)
			several++
		}
		first, ok := tree.Ray(o, d, 0, 1e9)
		require.Equal(t, len(hits) > 0, ok)
		if ok {
			require.InDelta(t, first.T, hits[0].T, 1e-12)
		}
	}
	assert.Greater(t, several, 100)
}

func TestSkippedTrianglesAreNotThere(t *testing.T) {
	m := mesh.Weld(shapes.Join(shapes.Cube(4), shapes.Cube(4)))
	topo := m.Topology()
	require.Len(t, topo.Duplicate, 12)
	tree, err := spatial.Build(m, topo.Duplicate, 1)
	require.NoError(t, err)
	assert.Equal(t, 12, tree.Triangles())
	assert.Len(t, tree.Order(), 12)
	for _, i := range tree.Order() {
		assert.Less(t, i, uint32(12))
	}
	assert.Equal(t, 1, tree.Winding(vec(1, 2, 3), vec(0, 0, 1)))
	twice, err := spatial.Build(m, nil, 1)
	require.NoError(t, err)
	assert.Equal(t, 2, twice.Winding(vec(1, 2, 3), vec(0, 0, 1)))
}

// Every triangle stands in the order once.
func TestOrderIsAPermutation(t *testing.T) {
	m, tree := build(t, shapes.Shuffle(shapes.Gyroid(16), 4))
	seen := make([]bool, len(m.Tris))
	for _, i := range tree.Order() {
		require.False(t, seen[i])
		seen[i] = true
	}
	assert.Len(t, tree.Order(), len(m.Tris))
}

// Coordinates at the ends of what a float32 holds must neither panic nor hang.
func TestExtremeCoordinates(t *testing.T) {
	inf, nan := float32(math.Inf(1)), float32(math.NaN())
	for _, numbers := range [][3]float32{{3e38, -3e38, 1}, {1e-45, -1e-45, 0}, {inf, 0, 1}, {nan, 1, 2}, {0, 0, 0}, {1e-38, 1e38, -1e38}} {
		soup := &mesh.Triangles{}
		for i := range 300 {
			soup.Corners = append(soup.Corners, mesh.Point{numbers[i%3], numbers[(i/3)%3], numbers[(i/9)%3]})
		}
		m, tree := build(t, soup)
		for _, d := range []mesh.Vec{vec(1, 0, 0), vec(0, -1, 0), vec(1, 1, 1), vec(1e-300, 1, 0)} {
			for _, o := range []mesh.Vec{vec(0, 0, 0), vec(1e30, 1, 1), vec(-4e38, 0, 0)} {
				tree.Ray(o, d, 0, math.Inf(1))
				tree.Hits(o, d, 0, math.MaxFloat64, nil)
				tree.Winding(o, d)
				tree.Nearest(o)
			}
		}
		tree.Crossings(context.Background(), m, nil, 10, 1)
	}
}

// soupOf makes triangles on a coarse grid out of bytes.
func soupOf(data []byte) *mesh.Triangles {
	s := &mesh.Triangles{}
	for len(data) >= 9 && s.Count() < 16 {
		for k := range 3 {
			s.Corners = append(s.Corners, mesh.Point{float32(data[3*k] % 8), float32(data[3*k+1] % 8), float32(data[3*k+2] % 8)})
		}
		data = data[9:]
	}
	return s
}

// FuzzTree holds rays and crossings against the slow ways on surfaces full of common
// planes, edges and corners.
func FuzzTree(f *testing.F) {
	seed := make([]byte, 0, 200)
	for i := range 25 {
		seed = binary.LittleEndian.AppendUint64(seed, uint64(i)*0x9e3779b97f4a7c15)
	}
	f.Add(seed)
	f.Add(seed[50:170])
	f.Fuzz(func(t *testing.T, data []byte) {
		soup := soupOf(data)
		if soup.Count() == 0 {
			return
		}
		m, tree := build(t, soup)
		got := tree.Crossings(context.Background(), m, nil, 1000, 1)
		require.Equal(t, gridCrossings(m), got.Pairs)
		for i := range data[:min(len(data), 30)] {
			// Off the grid, so that the slow way sees no edge head on.
			o := vec(-1, float64(data[i]%7)+.137, float64(data[i]/7%7)+.271)
			d := vec(1, .001, .0017)
			want := slowRay(m, o, d)
			hit, ok := tree.Ray(o, d, 0, math.Inf(1))
			require.Equal(t, !math.IsInf(want, 1), ok)
			if ok {
				require.InDelta(t, want, hit.T, 1e-9)
			}
		}
	})
}
