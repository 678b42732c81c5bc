package mend

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// apartTriangles picks triangles of which no two share a corner.
func apartTriangles(r *rand.Rand, m *mesh.Mesh, most int) []int {
	taken := make([]bool, len(m.Verts))
	var list []int
	for _, i := range r.Perm(len(m.Tris)) {
		t := m.Tris[i]
		if len(list) == most || taken[t[0]] || taken[t[1]] || taken[t[2]] {
			continue
		}
		list = append(list, i)
		taken[t[0]], taken[t[1]], taken[t[2]] = true, true, true
	}
	return list
}

// closedBodies are whole surfaces of many kinds.
func closedBodies() map[string]*mesh.Triangles {
	return map[string]*mesh.Triangles{
		"ball": shapes.Icosphere(8, 3), "torus": shapes.Torus(10, 3, 24, 16), "figure": shapes.Figure(),
		"bolt": shapes.Bolt(24), "cavity": fine(shapes.HollowBox(20, 3), 2), "thread": shapes.ThreadedRod(8, 1, 3, 24),
		"noise": shapes.NoisyBall(9, .8, 3, 11), "drilled": fine(shapes.Drilled(8, 24), 1),
	}
}

// trianglesOf takes some triangles of a mesh, each by its corners.
func trianglesOf(m *mesh.Mesh, keep func(i int) bool) *mesh.Triangles {
	s := new(mesh.Triangles)
	for i, t := range m.Tris {
		if keep(i) {
			s.Corners = append(s.Corners, m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]])
		}
	}
	return s
}

// from turns a triangle's corners until the least comes first.
func from(m *mesh.Mesh, i int) [3]mesh.Point {
	t := m.Tris[i]
	p := [3]mesh.Point{m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]]}
	for slices.Compare(p[0][:], p[1][:]) > 0 || slices.Compare(p[0][:], p[2][:]) > 0 {
		p = [3]mesh.Point{p[1], p[2], p[0]}
	}
	return p
}

func triangleSet(m *mesh.Mesh) map[[3]mesh.Point]int {
	set := map[[3]mesh.Point]int{}
	for i, t := range m.Tris {
		if t[0] != t[1] {
			set[from(m, i)]++
		}
	}
	return set
}

// Single triangles that are missing come back as they were, each a hole of its own,
// and each is filled beside a triangle that touches it.
func TestMissingTrianglesComeBackAsTheyWere(t *testing.T) {
	r := dice.New(t)
	for name, triangles := range closedBodies() {
		whole := mesh.Weld(triangles)
		for range 4 {
			gone := apartTriangles(r, whole, 1+r.IntN(30))
			m, out := mended(t, trianglesOf(whole, func(i int) bool { return !slices.Contains(gone, i) }))
			require.True(t, maps.Equal(triangleSet(whole), triangleSet(out.Mesh)), name)
			require.Equal(t, len(gone), out.Holes, name)
			area := 0.0
			for _, i := range gone {
				area += whole.Normal(i).Len() / 2
			}
			require.InEpsilon(t, area, out.Filled, 1e-9, name)
			require.Zero(t, out.Guessed+out.Loose, name)
			require.Zero(t, out.Turned+out.Stitched+out.Pairs+out.Copies+out.Membranes+out.Twisted, name)
			for n, beside := range out.Beside {
				filler := out.Mesh.Tris[len(m.Tris)+n]
				touches := slices.ContainsFunc(m.Tris[beside][:], func(v uint32) bool { return slices.Contains(filler[:], v) })
				require.True(t, touches, "%s: filler %d", name, n)
			}
		}
	}
}

// Whichever triangles are wound the wrong way round, each ends as it was, corner by
// corner. Bodies buried in others are left out: whether such a one is a cavity cannot
// be told once half of it was wound either way.
func TestTurnedTrianglesTurnBack(t *testing.T) {
	r := dice.New(t)
	for name, triangles := range closedBodies() {
		if name == "figure" {
			continue
		}
		whole := mesh.Weld(triangles)
		n := len(whole.Tris)
		for _, rimShare := range []float64{0, .01, .1, .3, .5, .7, .9, .99, 1} {
			wrong := r.Perm(n)[:int(rimShare*float64(n))]
			m := mesh.Weld(triangles)
			for _, i := range wrong {
				m.Tris[i][1], m.Tris[i][2] = m.Tris[i][2], m.Tris[i][1]
			}
			_, out := mended(t, trianglesOf(m, func(int) bool { return true }))
			require.True(t, maps.Equal(triangleSet(whole), triangleSet(out.Mesh)), "%s, share %v", name, rimShare)
			require.Zero(t, out.Filled+out.Guessed, name)
			require.Zero(t, out.Holes+out.Membranes, name)
		}
	}
}

// Triangles that are there twice, thrice or many times leave no trace.
func TestSurplusCopiesLeaveNoTrace(t *testing.T) {
	r := dice.New(t)
	for name, triangles := range closedBodies() {
		whole := mesh.Weld(triangles)
		surplus := new(mesh.Triangles)
		extra := 0
		for _, i := range apartTriangles(r, whole, 10) {
			for range 1 + r.IntN(3) {
				one := trianglesOf(whole, func(j int) bool { return j == i })
				surplus = shapes.Join(surplus, one)
				extra++
			}
		}
		_, out := mended(t, shapes.Shuffle(shapes.Join(triangles, surplus), 3))
		require.True(t, maps.Equal(triangleSet(whole), triangleSet(out.Mesh)), name)
		require.Equal(t, extra, out.Copies, name)
		require.Zero(t, out.Filled, name)
	}
}

// Bodies of whole cells that share faces, edges and corners in every way: a surface
// that adds up is handed back, and the sum of its bodies is the number of cells.
func TestBodiesOfRandomCells(t *testing.T) {
	r := dice.New(t)
	crowded := 0
	for range 60 {
		at := []float64{0, 1, 2, 3, 4}
		var cells [4][4][4]bool
		n := 0
		for i := range cells {
			for j := range cells[i] {
				for k := range cells[i][j] {
					if cells[i][j][k] = r.IntN(2) == 0; cells[i][j][k] {
						n++
					}
				}
			}
		}
		if n == 0 {
			continue
		}
		triangles := shapes.Blocks(at, at, at, func(i, j, k int) bool { return cells[i][j][k] })
		m, out := mended(t, triangles)
		require.Equal(t, Account{}, out.Account)
		require.Equal(t, m.Tris, out.Mesh.Tris)
		topo := m.Topology()
		crowded += topo.CrowdedEdges()
		b := (&mending{verts: m.Verts, tris: m.Tris, topo: topo}).bodies()
		sum := 0.0
		for i, v := range b.volume {
			require.Equal(t, b.of[i], b.of[b.of[i]], "a body is named by its first shell")
			// Cells that hang together over edges alone can be parted in more than one way,
			// but every part is whole cells, more or less.
			require.InDelta(t, float64(int(v+1000.5)-1000), v, 1e-9)
			sum += v
		}
		require.InDelta(t, float64(n), sum, 1e-9)
		_, turned := mended(t, shapes.Flip(triangles))
		require.InDelta(t, float64(n), turned.Mesh.Volume(), 1e-9, "inside out, and back")
	}
	assert.Greater(t, crowded, 100)
}

// damaged spoils a body in one of several ways that no tie can decide.
func damaged(triangles *mesh.Triangles, way int, seed uint64) *mesh.Triangles {
	n := triangles.Count() / 12
	switch way {
	case 0:
		return shapes.DropTriangles(triangles, n, seed)
	case 1:
		return shapes.FlipTriangles(triangles, n, seed)
	case 2:
		return shapes.DuplicateTriangles(triangles, n, seed)
	}
	return shapes.FlipTriangles(shapes.DropTriangles(triangles, n, seed), n, seed+1)
}

// Mending twice is mending once, and twice the size in both is twice the size out.
func TestMendingTwiceAndTwiceTheSize(t *testing.T) {
	for name, triangles := range closedBodies() {
		for way := range 4 {
			t.Run(fmt.Sprintf("%s, way %d", name, way), func(t *testing.T) {
				s := damaged(triangles, way, 7)
				_, once := mended(t, s)
				again := trianglesOf(once.Mesh, func(i int) bool { return once.Mesh.Tris[i][0] != once.Mesh.Tris[i][1] })
				_, twice := mended(t, again)
				assert.InEpsilon(t, once.Mesh.Volume(), twice.Mesh.Volume(), 1e-9)
				_, double := mended(t, shapes.Scale(s, 2))
				assert.True(t, slices.Equal(once.Mesh.Tris, double.Mesh.Tris))
				assert.InDelta(t, 4*once.Filled, double.Filled, 1e-9*once.Area)
				assert.InEpsilon(t, 8*once.Mesh.Volume(), double.Mesh.Volume(), 1e-9)
			})
		}
	}
}

// Mirrored, and the triangles in any order: the same is missing and the same comes back.
func TestMendingMirroredAndShuffled(t *testing.T) {
	r := dice.New(t)
	for name, triangles := range closedBodies() {
		whole := mesh.Weld(triangles)
		gone := apartTriangles(r, whole, 12)
		s := trianglesOf(whole, func(i int) bool { return !slices.Contains(gone, i) })
		s = shapes.FlipTriangles(s, 9, 5)
		_, want := mended(t, s)
		for other, triangles := range map[string]*mesh.Triangles{"mirrored": shapes.Mirror(s), "shuffled": shapes.Shuffle(s, 6), "both": shapes.Shuffle(shapes.Mirror(s), 8)} {
			_, got := mended(t, triangles)
			assert.InEpsilon(t, want.Mesh.Volume(), got.Mesh.Volume(), 1e-9, "%s %s", name, other)
			assert.InEpsilon(t, want.Filled, got.Filled, 1e-9, "%s %s", name, other)
			a, b := want.Account, got.Account
			a.Filled, b.Filled, a.Area, b.Area = 0, 0, 0, 0
			assert.Equal(t, a, b, "%s %s", name, other)
		}
	}
}

// Slits a hair narrower than the widest seam close; a hair wider, both halves get a
// lid of their own.
func TestSeamsAtTheirLimits(t *testing.T) {
	for i, width := range seams {
		for _, c := range []struct{ gap, widest float64 }{{width * .99, width}, {width * 1.01, 0}} {
			if c.widest == 0 && i+1 < len(seams) {
				c.widest = seams[i+1]
			}
			below := without(shapes.Box(shapes.Vec{}, shapes.Vec{X: 4, Y: 4, Z: 2}), level(2))
			above := without(shapes.Move(shapes.Box(shapes.Vec{Z: 2}, shapes.Vec{X: 4, Y: 4, Z: 4}), shapes.Vec{X: c.gap}), level(2))
			_, out := mended(t, shapes.Join(below, above))
			assert.Equal(t, c.widest, out.Widest, "gap %v", c.gap)
			if c.widest > 0 {
				assert.Equal(t, 4, out.Stitched, "gap %v", c.gap)
				assert.Zero(t, out.Holes, "gap %v", c.gap)
			} else {
				assert.Zero(t, out.Stitched)
				assert.InDelta(t, 32, out.Filled, .1, "a lid for either")
				assert.Zero(t, out.Capped, "the other half lies beyond: no end")
			}
			assert.InDelta(t, 64, out.Mesh.Volume(), 1e-3)
		}
	}
}
