package mend

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// mended mends a body, and holds that the result adds up along every edge.
func mended(t testing.TB, s *mesh.Triangles) (*mesh.Mesh, *Mended) {
	t.Helper()
	m := mesh.Weld(s)
	topo := m.Topology()
	out, err := Mend(work.Of(context.Background()), m, topo, func() (*spatial.Tree, error) { return spatial.Build(m, topo.Spare, 1) })
	require.NoError(t, err)
	requireAddsUp(t, out.Mesh)
	require.Equal(t, len(m.Tris), len(out.Mesh.Tris)-len(out.Beside))
	for _, b := range out.Beside {
		require.Less(t, int(b), len(m.Tris))
	}
	return m, out
}

// requireAddsUp holds that every edge is run through as often one way as the other,
// counted without the code under test.
func requireAddsUp(t testing.TB, m *mesh.Mesh) {
	t.Helper()
	net := map[[2]uint32]int{}
	for _, c := range m.Tris {
		for k := range 3 {
			a, b := c[k], c[(k+1)%3]
			net[[2]uint32{min(a, b), max(a, b)}] += map[bool]int{true: 1, false: -1}[a < b]
			if a == b {
				delete(net, [2]uint32{a, a})
			}
		}
	}
	for e, n := range net {
		require.Zero(t, n, "edge %v", e)
	}
}

// fine cuts the triangles of a body into 4^times each.
func fine(s *mesh.Triangles, times int) *mesh.Triangles {
	for range times {
		s = shapes.Split4(s)
	}
	return s
}

func TestWholeSurfacesAreHandedBack(t *testing.T) {
	for name, s := range map[string]*mesh.Triangles{
		"cube": shapes.Cube(10), "T of overlapping boxes": shapes.TOverlapping(), "cavity": shapes.HollowBox(20, 2),
		"cubes that share an edge": shapes.CubesAtEdge(), "cubes that share a corner": shapes.CubesAtCorner(),
		"figure": shapes.Figure(), "flat triangles": shapes.CollapseTriangles(shapes.Table(), 9, 1),
	} {
		m, out := mended(t, s)
		if out.Mesh != m {
			assert.Equal(t, m.Tris, out.Mesh.Tris, name)
		}
		assert.Equal(t, Account{}, out.Account, name)
		assert.Empty(t, out.Beside, name)
		assert.Equal(t, uint32(3), out.Original(3), name)
	}
}

// Whatever triangles there are, the mended surface adds up: bodies of random triangles
// between few corners have every fault at once.
func TestAnyTrianglesAddUp(t *testing.T) {
	for seed := range uint64(400) {
		rng := rand.New(rand.NewPCG(seed, 5))
		corners := make([]mesh.Point, 3+rng.IntN(12))
		for i := range corners {
			corners[i] = mesh.Point{float32(rng.IntN(4)), float32(rng.IntN(4)), float32(rng.Float64()) * 4}
		}
		s := new(mesh.Triangles)
		for range 3 * (1 + rng.IntN(60)) {
			s.Corners = append(s.Corners, corners[rng.IntN(len(corners))])
		}
		t.Logf("seed %d", seed)
		mended(t, s)
	}
}

func TestAnyDamageAddsUp(t *testing.T) {
	for seed := range uint64(8) {
		t.Logf("seed %d", seed)
		s := fine(shapes.Figure(), 1)
		n := s.Count() / 4
		s = shapes.FlipTriangles(shapes.InnerFaces(shapes.DropTriangles(s, n, seed), 5, seed), n, seed)
		mended(t, shapes.DuplicateTriangles(s, n, seed+1))
		mended(t, shapes.Jitter(s, 0.02*float64(seed), seed))
		mended(t, shapes.Shatter(s, 7, 0.05*float64(seed), seed))
	}
}

// What was left out of flat faces and straight edges comes back to the last mm3.
func TestVolumeComesBack(t *testing.T) {
	for name, s := range map[string]*mesh.Triangles{
		"T": fine(shapes.T(), 2), "portal": fine(shapes.Portal(30), 2), "table": fine(shapes.Table(), 1), "lid": fine(shapes.PatternLid(), 1),
	} {
		want := mesh.Weld(s).Volume()
		for seed := range uint64(10) {
			n := s.Count() / 10
			_, out := mended(t, shapes.FlipTriangles(shapes.DropTriangles(s, n, seed), n, seed))
			assert.InDelta(t, want, out.Mesh.Volume(), 1e-3*want, "%s, seed %d", name, seed)
			assert.Positive(t, out.Filled)
			assert.Positive(t, out.Holes)
			assert.Zero(t, out.Guessed)
		}
	}
}

func TestFillersNameTrianglesBesideThem(t *testing.T) {
	s := fine(shapes.Cube(20), 2)
	m, out := mended(t, shapes.DropTriangles(s, 12, 3))
	require.NotEmpty(t, out.Beside)
	for i := range out.Beside {
		at := uint32(len(m.Tris) + i)
		own := out.Original(at)
		a, _, _ := out.Mesh.Corners(int(at))
		b, _, _ := m.Corners(int(own))
		assert.Less(t, a.Sub(b).Len(), 20.0, "a triangle of the rim, not any one")
	}
}
