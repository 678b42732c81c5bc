package mesh_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// checkTopology holds every list against its own definition.
func checkTopology(t *testing.T, m *mesh.Mesh, p *mesh.Topology) {
	t.Helper()
	require.Len(t, p.Twin, 3*len(m.Tris))
	require.Len(t, p.Shell, len(m.Tris))
	for _, list := range [][]uint32{p.Open, p.Reversed, p.Zero, p.Duplicate} {
		require.True(t, slices.IsSorted(list))
		require.Len(t, slices.Compact(slices.Clone(list)), len(list), "nothing is listed twice")
	}
	for _, h := range p.Open {
		require.Equal(t, mesh.None, p.Twin[h])
	}
	for _, h := range p.Crowded {
		require.Equal(t, mesh.None, p.Twin[h])
	}
	for _, h := range p.Reversed {
		a, b := m.Ends(h)
		c, d := m.Ends(p.Twin[h])
		require.Equal(t, [2]uint32{a, b}, [2]uint32{c, d})
		require.Greater(t, p.Twin[h], h)
	}
	triangles, open := 0, 0
	for i, s := range p.Shells {
		triangles += s.Triangles
		open += s.Open
		require.Equal(t, uint32(i), p.Shell[s.First])
		require.Equal(t, int(s.First), slices.Index(p.Shell, uint32(i)), "the first triangle of its shell")
	}
	require.Equal(t, len(p.Open), open)
	members := 0
	for h, twin := range p.Twin {
		if twin != mesh.None {
			require.EqualValues(t, h, p.Twin[twin])
			require.Equal(t, p.Shell[h/3], p.Shell[twin/3], "twins are of one shell")
		}
		if h%3 == 0 && p.Shell[h/3] != mesh.None {
			members++
		}
	}
	require.Equal(t, members, triangles)
	for i := range p.CrowdedEdges() {
		e := p.CrowdedEdge(i)
		require.Greater(t, len(e), 2)
		for _, h := range e {
			a, b := m.Ends(h)
			c, d := m.Ends(e[0])
			require.ElementsMatch(t, []uint32{a, b}, []uint32{c, d}, "all along one edge")
		}
	}
}

func TestListsKeepTheirWord(t *testing.T) {
	for name, triangles := range map[string]*mesh.Triangles{
		"cube": cube(2), "holes": shapes.DropTriangles(shapes.Icosphere(5, 3), 40, 1),
		"turned": shapes.FlipTriangles(shapes.Icosphere(5, 3), 40, 2), "twice": shapes.DuplicateTriangles(shapes.Icosphere(5, 3), 40, 3),
		"collapsed": shapes.CollapseTriangles(shapes.Icosphere(5, 3), 40, 4), "inner faces": shapes.InnerFaces(shapes.Gyroid(8), 30, 5),
		"along an edge": shapes.CubesAtEdge(), "touching": shapes.TTouching(), "many bodies": shapes.Join(cube(1), cube(2), cube(3)),
		"everything": shapes.CollapseTriangles(shapes.FlipTriangles(shapes.DropTriangles(shapes.DuplicateTriangles(shapes.Torus(9, 3, 40, 20), 30, 1), 30, 2), 30, 3), 30, 4),
	} {
		for _, s := range []*mesh.Triangles{triangles, shapes.Shuffle(triangles, 9), shapes.Split4(triangles)} {
			m := mesh.Weld(s)
			p := m.Topology()
			checkTopology(t, m, p)
			require.Equal(t, slowTopology(m), found(p), name)
		}
	}
}

// Figures of the shells add up to those of the mesh where every triangle has one.
func TestShellsAddUp(t *testing.T) {
	m := mesh.Weld(shapes.Join(shapes.Gyroid(16), shapes.Move(shapes.Icosphere(5, 3), shapes.Vec{X: 200}), shapes.Flip(shapes.Move(cube(4), shapes.Vec{Y: -50}))))
	p := m.Topology()
	area, volume := 0.0, 0.0
	box := mesh.EmptyBox()
	for _, s := range p.Shells {
		require.True(t, s.Closed)
		area += s.Area
		volume += s.Volume
		box.Include(s.Box.Min)
		box.Include(s.Box.Max)
	}
	assert.InEpsilon(t, m.Area(), area, 1e-12)
	assert.InEpsilon(t, m.Volume(), volume, 1e-9)
	assert.Equal(t, m.Box(), box)
	assert.Greater(t, len(p.Shells), 2)
}

// A Moebius band is open, connected, and cannot be wound consistently: going once
// around turns it over, so exactly one seam is left.
func TestMoebiusBand(t *testing.T) {
	const n = 30
	at := func(i int, side float64) mesh.Vec {
		a := 2 * math.Pi * float64(i%n) / n
		half := math.Pi * float64(i) / n
		r := 10 + side*math.Cos(half)
		return vec(r*math.Cos(a), r*math.Sin(a), side*math.Sin(half))
	}
	s := &mesh.Triangles{}
	for i := range n {
		a, b, c, d := at(i, -1), at(i+1, -1), at(i+1, 1), at(i, 1)
		if i == n-1 { // the far end is the near end turned over
			b, c = at(0, 1), at(0, -1)
		}
		add(s, a, b, c, a, c, d)
	}
	got := found(mesh.Weld(s).Topology())
	assert.Equal(t, trouble{Open: 2 * n, Reversed: 1, Shells: 1}, got)
}

// Vertices, edges and faces of closed shells obey Euler's formula: V - E + F is 2 for
// a ball and 0 for a ring.
func TestEulerCharacteristic(t *testing.T) {
	for name, c := range map[string]struct {
		triangles *mesh.Triangles
		want      int
	}{
		"cube": {cube(1), 2}, "ball": {shapes.Icosphere(3, 3), 2}, "torus": {shapes.Torus(9, 3, 24, 12), 0},
		"drilled": {shapes.Drilled(8, 24), 0}, "tube": {shapes.Tube(10, 5, 8, 20), 0}, "two balls": {shapes.Join(cube(1), shapes.Move(cube(1), shapes.Vec{X: 5})), 4},
	} {
		m := mesh.Weld(c.triangles)
		p := m.Topology()
		edges := 0
		for h, twin := range p.Twin {
			require.NotEqual(t, mesh.None, twin, name)
			if uint32(h) < twin {
				edges++
			}
		}
		assert.Equal(t, c.want, len(m.Verts)-edges+len(m.Tris), name)
	}
}

// FuzzTopology holds the edges of any triangles, on a grid so coarse that everything meets
// everything, against the slow way.
func FuzzTopology(f *testing.F) {
	f.Add([]byte{0, 1, 2, 0, 2, 3, 0, 3, 1, 1, 3, 2})
	f.Add([]byte{0, 1, 2, 0, 1, 3, 0, 1, 4, 1, 0, 5, 2, 1, 0, 0, 0, 1, 2, 0, 1})
	f.Add([]byte{9, 9, 9, 1, 2, 9, 1, 1, 2, 7, 26, 5, 5, 26, 7, 26, 5, 7})
	f.Fuzz(func(t *testing.T, data []byte) {
		s := &mesh.Triangles{}
		for _, b := range data[:len(data)/3*3] {
			s.Corners = append(s.Corners, mesh.Point{float32(b % 3), float32(b / 3 % 3), float32(b / 9 % 3)})
		}
		m := mesh.Weld(s)
		p := m.Topology()
		checkTopology(t, m, p)
		require.Equal(t, slowTopology(m), found(p))
	})
}

// A patch that was copied is spare, down to the triangles in its middle; a face that
// two bodies have in common is not, and neither is a whole body.
func TestSpareCopies(t *testing.T) {
	ball := shapes.Icosphere(5, 3)
	patch := &mesh.Triangles{}
	for i := range ball.Count() {
		if ball.Corners[3*i][2] > 2 {
			patch.Corners = append(patch.Corners, ball.Corners[3*i:3*i+3]...)
		}
	}
	require.Greater(t, patch.Count(), 100)
	one := &mesh.Triangles{Corners: ball.Corners[:3]}
	low, high := shapes.Box(vec(0, 0, 0), vec(4, 4, 2)), shapes.Box(vec(0, 0, 0), vec(4, 4, 3))
	for _, c := range []struct {
		name             string
		triangles        *mesh.Triangles
		duplicate, spare int
		closed           bool
	}{
		{"none", ball, 0, 0, true},
		{"one triangle", shapes.Join(ball, one), 1, 1, true},
		{"one triangle three times", shapes.Join(ball, one, one), 2, 2, true},
		{"a patch", shapes.Join(ball, patch), patch.Count(), patch.Count(), true},
		{"a common floor", shapes.Join(low, high), 2, 0, true},
		{"a whole body", shapes.Join(low, low), 12, 0, true},
		{"a common floor and a patch elsewhere", shapes.Join(low, high, shapes.Move(ball, shapes.Vec{X: 50}), shapes.Move(one, shapes.Vec{X: 50})), 3, 1, true},
		{"a hole", shapes.DropTriangles(ball, 1, 3), 0, 0, false},
		{"an open body twice", shapes.Join(shapes.DropTriangles(low, 1, 3), shapes.DropTriangles(low, 1, 3)), 11, 11, false},
	} {
		for _, s := range []*mesh.Triangles{c.triangles, shapes.Shuffle(c.triangles, 8)} {
			p := mesh.Weld(s).Topology()
			assert.Len(t, p.Duplicate, c.duplicate, c.name)
			assert.Len(t, p.Spare, c.spare, c.name)
			assert.Equal(t, c.closed, p.Closed(), c.name)
			assert.Subset(t, p.Duplicate, p.Spare)
		}
	}
}
