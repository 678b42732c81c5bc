package mesh_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// slowWeld is the same as Weld by a map.
func slowWeld(s *mesh.Triangles) *mesh.Mesh {
	m := &mesh.Mesh{}
	index := map[mesh.Point]uint32{}
	for i := 0; i < len(s.Corners); i += 3 {
		var tri mesh.Tri
		for k := range 3 {
			p := s.Corners[i+k]
			v, ok := index[p]
			if !ok {
				v = uint32(len(m.Verts))
				index[p] = v
				m.Verts = append(m.Verts, p)
			}
			tri[k] = v
		}
		m.Tris = append(m.Tris, tri)
	}
	return m
}

// damaged leaves out, doubles, flips and spoils some triangles of a body.
func damaged(s *mesh.Triangles, r *rand.Rand) *mesh.Triangles {
	d := &mesh.Triangles{}
	for i := 0; i < len(s.Corners); i += 3 {
		c := s.Corners[i : i+3]
		switch r.IntN(12) {
		case 0:
		case 1:
			d.Corners = append(d.Corners, c...)
			d.Corners = append(d.Corners, c[1], c[2], c[0])
		case 2:
			d.Corners = append(d.Corners, c[0], c[2], c[1])
		case 3:
			d.Corners = append(d.Corners, c[0], c[1], c[1])
		case 4:
			d.Corners = append(d.Corners, c...)
			d.Corners = append(d.Corners, c[0], c[1], mesh.Point{r.Float32(), r.Float32(), 9})
		case 5:
			d.Corners = append(d.Corners, c...)
			d.Corners = append(d.Corners, c[0], c[2], c[1])
		default:
			d.Corners = append(d.Corners, c...)
		}
	}
	return d
}

// trouble is what slowTopology and Topology are compared by.
type trouble struct {
	Open, Reversed, Crowded, Duplicate, Zero, Shells, Closed int
}

func found(t *mesh.Topology) trouble {
	f := trouble{Open: len(t.Open), Reversed: len(t.Reversed), Crowded: t.CrowdedEdges(),
		Duplicate: len(t.Duplicate), Zero: len(t.Zero), Shells: len(t.Shells)}
	for _, s := range t.Shells {
		if s.Closed {
			f.Closed++
		}
	}
	return f
}

// slowTopology counts the same by maps and rational numbers.
func slowTopology(m *mesh.Mesh) trouble {
	var f trouble
	type edge [2]uint32
	sides := map[edge][]int{} // triangle + 1, negative where it runs downward
	seen := map[mesh.Tri]bool{}
	parent := map[int]int{}
	var root func(int) int
	root = func(i int) int {
		if parent[i] != i {
			parent[i] = root(parent[i])
		}
		return parent[i]
	}
	for i, tri := range m.Tris {
		if exactlyZero(m, tri) {
			f.Zero++
		}
		if tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
			continue
		}
		for tri[0] != min(tri[0], tri[1], tri[2]) {
			tri = mesh.Tri{tri[1], tri[2], tri[0]}
		}
		if seen[tri] {
			f.Duplicate++
			continue
		}
		seen[tri] = true
		parent[i] = i
		for k := range 3 {
			a, b, sign := tri[k], tri[(k+1)%3], 1
			if a > b {
				a, b, sign = b, a, -1
			}
			sides[edge{a, b}] = append(sides[edge{a, b}], sign*(i+1))
		}
	}
	for _, s := range sides {
		switch {
		case len(s) == 1:
			f.Open++
		case len(s) == 2:
			parent[root(abs(s[0])-1)] = root(abs(s[1]) - 1)
			if s[0] > 0 == (s[1] > 0) {
				f.Reversed++
			}
		default:
			f.Crowded++
		}
	}
	spoilt := map[int]bool{}
	for _, s := range sides {
		sum := map[int]int{}
		for _, side := range s {
			sum[root(abs(side)-1)] += side / abs(side)
		}
		for id, n := range sum {
			if n != 0 {
				spoilt[id] = true
			}
		}
	}
	for i := range parent {
		if root(i) == i {
			f.Shells++
			if !spoilt[i] {
				f.Closed++
			}
		}
	}
	return f
}

func abs(i int) int { return max(i, -i) }

func exactlyZero(m *mesh.Mesh, tri mesh.Tri) bool {
	rat := func(v, k int) *big.Rat { return new(big.Rat).SetFloat64(float64(m.Verts[tri[v]][k])) }
	diff := func(v, k int) *big.Rat { return new(big.Rat).Sub(rat(v, k), rat(0, k)) }
	for k := range 3 {
		l := (k + 1) % 3
		x := new(big.Rat).Mul(diff(1, k), diff(2, l))
		if x.Cmp(new(big.Rat).Mul(diff(1, l), diff(2, k))) != 0 {
			return false
		}
	}
	return true
}

func TestTopologyAgainstMaps(t *testing.T) {
	r := dice.New(t)
	solids := []*mesh.Triangles{
		cube(1), shapes.Icosphere(3, 2), shapes.Torus(4, 1, 12, 8), shapes.Gyroid(8),
		shapes.Join(cube(1), shapes.Box(vec(1, 0, 0), vec(2, 1, 1)), shapes.Box(vec(1, 1, 0), vec(2, 2, 1))),
		shapes.Cylinder(5, 1, 200),
	}
	for round := range 60 {
		triangles := solids[round%len(solids)]
		if round >= len(solids) {
			triangles = shapes.Shuffle(damaged(triangles, r), r.Uint64())
		}
		m, slow := mesh.Weld(triangles), slowWeld(triangles)
		require.Equal(t, slow.Verts, m.Verts, "round %d", round)
		require.Equal(t, slow.Tris, m.Tris, "round %d", round)
		require.Equal(t, slowTopology(m), found(m.Topology()), "round %d", round)
	}
}

func TestTwinsAreMutual(t *testing.T) {
	m := mesh.Weld(shapes.Gyroid(10))
	topology := m.Topology()
	for h, twin := range topology.Twin {
		require.NotEqual(t, mesh.None, twin)
		require.EqualValues(t, h, topology.Twin[twin])
		from, to := m.Ends(uint32(h))
		back, forth := m.Ends(twin)
		require.Equal(t, [2]uint32{from, to}, [2]uint32{forth, back})
	}
}

func TestWeldTakesBothZerosForOne(t *testing.T) {
	minus := float32(math.Copysign(0, -1))
	m := mesh.Weld(&mesh.Triangles{Corners: []mesh.Point{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {minus, minus, minus}, {0, 1, minus}, {1, minus, 0}}})
	assert.Equal(t, []mesh.Tri{{0, 1, 2}, {0, 2, 1}}, m.Tris)
	for _, p := range mesh.Weld(&mesh.Triangles{Corners: []mesh.Point{{minus, 1, 2}, {3, minus, 5}, {6, 7, minus}}}).Verts {
		for _, x := range p {
			assert.False(t, math.Signbit(float64(x)))
		}
	}
}

func TestDefectsOneByOne(t *testing.T) {
	whole := cube(10)
	without := &mesh.Triangles{Corners: whole.Corners[3:]}
	turned := shapes.Join(without, shapes.Flip(&mesh.Triangles{Corners: whole.Corners[:3]}))
	twice := shapes.Join(whole, &mesh.Triangles{Corners: whole.Corners[:3]})
	fin := shapes.Join(whole, &mesh.Triangles{Corners: []mesh.Point{{0, 0, 10}, {10, 0, 10}, {5, 0, 15}}})
	onEdge := shapes.Join(whole, shapes.Box(vec(10, 10, 0), vec(20, 20, 10)))
	onCorner := shapes.Join(whole, shapes.Box(vec(10, 10, 10), vec(20, 20, 20)))
	for _, c := range []struct {
		name      string
		triangles *mesh.Triangles
		want      trouble
	}{
		{"whole", whole, trouble{Shells: 1, Closed: 1}},
		{"a triangle missing", without, trouble{Open: 3, Shells: 1}},
		{"a triangle turned over", turned, trouble{Reversed: 3, Shells: 1}},
		{"a triangle twice", twice, trouble{Duplicate: 1, Shells: 1, Closed: 1}},
		{"a fin on an edge", fin, trouble{Open: 2, Crowded: 1, Shells: 2, Closed: 1}},
		{"two cubes along an edge", onEdge, trouble{Crowded: 1, Shells: 2, Closed: 2}},
		{"two cubes at a corner", onCorner, trouble{Shells: 2, Closed: 2}},
		{"nothing", &mesh.Triangles{}, trouble{}},
	} {
		assert.Equal(t, c.want, found(mesh.Weld(c.triangles).Topology()), c.name)
	}
}

func TestShellsKeepTheirOwnFigures(t *testing.T) {
	topology := mesh.Weld(shapes.Join(cube(2), shapes.Flip(shapes.Box(vec(10, 0, 0), vec(13, 1, 1))))).Topology()
	require.Len(t, topology.Shells, 2)
	a, b := topology.Shells[0], topology.Shells[1]
	assert.InDelta(t, 8, a.Volume, 1e-12)
	assert.InDelta(t, 24, a.Area, 1e-12)
	assert.InDelta(t, -3, b.Volume, 1e-12)
	assert.Equal(t, mesh.Box{Min: vec(10, 0, 0), Max: vec(13, 1, 1)}, b.Box)
	assert.EqualValues(t, 12, b.First)
}

func TestZeroIsExact(t *testing.T) {
	up := math.Nextafter32(1e7, 2e7)
	for _, c := range []struct {
		corners [3]mesh.Point
		zero    bool
	}{
		{[3]mesh.Point{{0, 0, 0}, {1, 1, 1}, {3, 3, 3}}, true},
		{[3]mesh.Point{{0.1, 0.2, 0.3}, {0.1, 0.2, 0.3}, {1, 2, 3}}, true},
		{[3]mesh.Point{{0, 0, 0}, {1e7, 1e7, 0}, {up, 1e7, 0}}, false},
		{[3]mesh.Point{{1e7, 1e7, 1e7}, {1e7, 1e7, 0}, {1e7, 1e7, -1e-30}}, true},
		{[3]mesh.Point{{0, 0, 0}, {1e-30, 0, 0}, {0, 1e-30, 0}}, false},
		{[3]mesh.Point{{0, 0, 0}, {1, 0x1p-140, 0}, {2, 0x1p-139, 0}}, true},
		{[3]mesh.Point{{1, 0, 0}, {1e20, 1e-20, 0}, {2, 0, 0}}, false},
	} {
		m := mesh.Weld(&mesh.Triangles{Corners: c.corners[:]})
		assert.Equal(t, c.zero, m.IsZero(0), fmt.Sprint(c.corners))
		assert.Equal(t, exactlyZero(m, m.Tris[0]), m.IsZero(0), fmt.Sprint(c.corners))
	}
}

// A fan of many triangles around one vertex, and many around one edge, must not take
// time that grows with the square of their number: this would run for minutes.
func TestManyTrianglesAtOneVertexAndOneEdge(t *testing.T) {
	const n = 200_000
	fan, book := &mesh.Triangles{}, &mesh.Triangles{}
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		s2, c2 := math.Sincos(2 * math.Pi * float64((i+1)%n) / n)
		add(fan, vec(0, 0, 0), vec(1e3*c, 1e3*s, 0), vec(1e3*c2, 1e3*s2, 0))
		add(book, vec(0, 0, 0), vec(0, 0, 1), vec(float64(i+1), 0, 0))
	}
	assert.Equal(t, trouble{Open: n, Shells: 1}, found(mesh.Weld(fan).Topology()))
	assert.Equal(t, trouble{Open: 2 * n, Crowded: 1, Shells: n}, found(mesh.Weld(book).Topology()))
}

func TestPlaces(t *testing.T) {
	binary := mesh.Source{Offset: 84, Stride: 50}
	assert.Equal(t, mesh.Place{Triangle: 3, Offset: 184, Length: 50}, binary.Of(2))
	text := mesh.Source{Lines: []uint32{2, 9}}
	assert.Equal(t, mesh.Place{Triangle: 2, Line: 9}, text.Of(1))
}
