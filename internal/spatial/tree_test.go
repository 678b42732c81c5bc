package spatial_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

func TestNearestAgainstManyPoints(t *testing.T) {
	r := dice.New(t)
	for name, soup := range solids() {
		m, tree := build(t, soup)
		for range 300 {
			p := within(r, m.Box(), 5)
			at, tri, d := tree.Nearest(p)
			require.InDelta(t, d, at.Sub(p).Len(), 1e-9, name)
			// The point lies on its triangle, and no other point is nearer.
			require.InDelta(t, 0, heightOver(m, int(tri), at), 1e-9*tree.Reach(), name)
			for range 100 {
				i := r.IntN(len(m.Tris))
				a, b, c := m.Corners(i)
				u, v := r.Float64(), r.Float64()
				if u+v > 1 {
					u, v = 1-u, 1-v
				}
				q := a.Add(b.Sub(a).Scale(u)).Add(c.Sub(a).Scale(v))
				require.LessOrEqual(t, d, q.Sub(p).Len()+1e-9*tree.Reach(), name)
			}
		}
	}
}

func add(s *mesh.Triangles, corners ...mesh.Vec) {
	for _, v := range corners {
		s.Corners = append(s.Corners, mesh.Point{float32(v.X), float32(v.Y), float32(v.Z)})
	}
}

func heightOver(m *mesh.Mesh, tri int, p mesh.Vec) float64 {
	a, _, _ := m.Corners(tri)
	return math.Abs(m.Normal(tri).Unit().Dot(p.Sub(a)))
}

func TestNearestOnKnownShapes(t *testing.T) {
	_, tree := build(t, shapes.Box(vec(0, 0, 0), vec(2, 2, 2)))
	for _, c := range []struct {
		from, at mesh.Vec
		d        float64
	}{
		{vec(1, 1, 5), vec(1, 1, 2), 3}, {vec(5, 1, 6), vec(2, 1, 2), 5}, {vec(-1, -2, -2), vec(0, 0, 0), 3},
		{vec(1, 1, .25), vec(1, 1, 0), .25}, {vec(2, 2, 2), vec(2, 2, 2), 0},
	} {
		at, _, d := tree.Nearest(c.from)
		assert.InDelta(t, c.d, d, 1e-12)
		assert.InDelta(t, 0, at.Sub(c.at).Len(), 1e-12)
	}
	empty, err := spatial.Build(&mesh.Mesh{}, nil, 1)
	require.NoError(t, err)
	_, tri, d := empty.Nearest(vec(1, 2, 3))
	assert.Equal(t, mesh.None, tri)
	assert.True(t, math.IsInf(d, 1))
	_, ok := empty.Ray(vec(0, 0, 0), vec(1, 0, 0), 0, 1)
	assert.False(t, ok)
	assert.Empty(t, empty.Hits(vec(0, 0, 0), vec(1, 0, 0), 0, 1, nil))
}

// Wherever a point lies, closed shells wind around it as often as it is inside them,
// seen along every direction, also along those that run through edges and corners.
func TestWindingOfNestedAndTurnedShells(t *testing.T) {
	r := dice.New(t)
	outer, inner := shapes.Box(vec(0, 0, 0), vec(8, 8, 8)), shapes.Box(vec(2, 2, 2), vec(6, 6, 6))
	for _, c := range []struct {
		name              string
		soup              *mesh.Triangles
		middle, rim, away int
	}{
		{"cavity", shapes.Join(outer, shapes.Flip(inner)), 0, 1, 0},
		{"twice solid", shapes.Join(outer, inner), 2, 1, 0},
		{"inside out", shapes.Flip(outer), -1, -1, 0},
		{"split finely", shapes.Split4(shapes.Split4(outer)), 1, 1, 0},
	} {
		_, tree := build(t, c.soup)
		for range 200 {
			d := direction(r)
			if r.IntN(2) == 0 {
				d = vec(float64(r.IntN(5)-2), float64(r.IntN(5)-2), float64(1+r.IntN(2))).Unit()
			}
			require.Equal(t, c.middle, tree.Winding(vec(4, 4, 4), d), "%s %v", c.name, d)
			require.Equal(t, c.rim, tree.Winding(vec(1, 1, 1), d), "%s %v", c.name, d)
			require.Equal(t, c.away, tree.Winding(vec(9, 1, 1), d), "%s %v", c.name, d)
			require.Equal(t, c.away, tree.Winding(vec(-900, 4, 4), d), "%s %v", c.name, d)
		}
	}
}

func TestAnswersDoNotDependOnWorkersOrOrder(t *testing.T) {
	r := dice.New(t)
	soup := shapes.Gyroid(24)
	m := mesh.Weld(soup)
	require.Greater(t, len(m.Tris), 20_000, "large enough to be cut into pieces")
	one, err := spatial.Build(m, nil, 1)
	require.NoError(t, err)
	four, err := spatial.Build(m, nil, 4)
	require.NoError(t, err)
	assert.Equal(t, one, four)
	_, mixed := build(t, shapes.Shuffle(soup, r.Uint64()))
	for range 2000 {
		o, d := within(r, m.Box(), 1), direction(r)
		a, okA := one.Ray(o, d, 0, 100)
		b, okB := mixed.Ray(o, d, 0, 100)
		require.Equal(t, okA, okB)
		require.InDelta(t, a.T, b.T, 1e-12, "another first corner may round the last bit otherwise")
	}
}

// Triangles that all lie in the same place cannot be told apart by any split.
func TestManyTrianglesInOnePlace(t *testing.T) {
	soup := &mesh.Triangles{}
	for range 5000 {
		add(soup, vec(0, 0, 1), vec(1, 0, 1), vec(0, 1, 1))
	}
	_, tree := build(t, soup)
	hit, ok := tree.Ray(vec(.2, .2, 0), vec(0, 0, 1), 0, 5)
	require.True(t, ok)
	assert.Equal(t, spatial.RayHit{T: 1, Tri: 0}, hit, "of equals, the lowest number")
	assert.Len(t, tree.Hits(vec(.2, .2, 0), vec(0, 0, 1), 0, 5, nil), 5000)
}

// Sizes that double again and again make the most lopsided tree.
func TestVeryUnevenSizes(t *testing.T) {
	soup := &mesh.Triangles{}
	for i := range 120 {
		s := math.Pow(2, float64(i)/2-30)
		add(soup, vec(s, 0, 0), vec(s, s, 0), vec(s, 0, s))
	}
	m, tree := build(t, soup)
	for i := range 120 {
		s := math.Pow(2, float64(i)/2-30)
		hit, ok := tree.Ray(vec(s*1.01, s*.2, s*.2), vec(-1, 0, 0), 0, s)
		require.True(t, ok, i)
		require.InDelta(t, slowRay(m, vec(s*1.01, s*.2, s*.2), vec(-1, 0, 0)), hit.T, s*1e-9)
	}
}
