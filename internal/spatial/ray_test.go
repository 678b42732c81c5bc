package spatial_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/unixpickle/model3d/model3d"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

func vec(x, y, z float64) mesh.Vec { return mesh.Vec{X: x, Y: y, Z: z} }

func build(t testing.TB, soup *mesh.Triangles) (*mesh.Mesh, *spatial.Tree) {
	t.Helper()
	m := mesh.Weld(soup)
	tree, err := spatial.Build(m, nil, 1)
	require.NoError(t, err)
	return m, tree
}

func within(r *rand.Rand, b mesh.Box, more float64) mesh.Vec {
	b = b.Grow(more)
	s := b.Size()
	return b.Min.Add(vec(s.X*r.Float64(), s.Y*r.Float64(), s.Z*r.Float64()))
}

func direction(r *rand.Rand) mesh.Vec {
	return vec(r.NormFloat64(), r.NormFloat64(), r.NormFloat64()).Unit()
}

// solids are shapes with long and tiny, regular and random triangles.
func solids() map[string]*mesh.Triangles {
	return map[string]*mesh.Triangles{
		"cube":    shapes.Box(vec(-1, 2, 3), vec(4, 7, 9)),
		"gyroid":  shapes.Gyroid(16),
		"torus":   shapes.Torus(10, 3, 40, 20),
		"sphere":  shapes.Icosphere(5, 3),
		"prism":   shapes.Cylinder(20, 50, 300),
		"far":     shapes.Box(vec(9000, -9000, 9000), vec(9010, -8990, 9010)),
		"overlap": shapes.Join(shapes.Box(vec(0, 0, 0), vec(4, 4, 4)), shapes.Box(vec(2, 2, 2), vec(6, 6, 6))),
		"one":     {Corners: []mesh.Point{{0, 0, 0}, {4, 0, 1}, {0, 5, 2}}},
	}
}

// slowRay is the test of Möller and Trumbore, Fast, minimum storage ray/triangle
// intersection (1997), on every triangle.
func slowRay(m *mesh.Mesh, o, d mesh.Vec) float64 {
	best := math.Inf(1)
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		e1, e2 := b.Sub(a), c.Sub(a)
		p := d.Cross(e2)
		det := e1.Dot(p)
		if det == 0 {
			continue
		}
		s := o.Sub(a)
		u := s.Dot(p) / det
		q := s.Cross(e1)
		v := d.Dot(q) / det
		if x := e2.Dot(q) / det; u >= 0 && v >= 0 && u+v <= 1 && x >= 0 {
			best = min(best, x)
		}
	}
	return best
}

func TestRayAgainstEveryTriangle(t *testing.T) {
	r := dice.New(t)
	for name, soup := range solids() {
		m, tree := build(t, soup)
		hits := 0
		for range 1500 {
			o, d := within(r, m.Box(), 2), direction(r)
			if r.IntN(4) == 0 {
				d = []mesh.Vec{{X: 1}, {Y: -1}, {Z: 1}, {X: -1, Y: 1}, {Y: 1, Z: -3}}[r.IntN(5)]
			}
			want := slowRay(m, o, d)
			hit, ok := tree.Ray(o, d, 0, math.Inf(1))
			require.Equal(t, !math.IsInf(want, 1), ok, "%s from %v along %v", name, o, d)
			if !ok {
				continue
			}
			hits++
			require.InDelta(t, want, hit.T, 1e-9*tree.Reach(), "%s from %v along %v", name, o, d)
			require.Equal(t, m.Normal(int(hit.Tri)).Dot(d) < 0, hit.Into, name)
			_, short := tree.Ray(o, d, 0, hit.T*.999)
			require.False(t, short, "nothing is nearer than the nearest")
		}
		assert.Greater(t, hits, 5, name)
	}
}

func TestRayAgainstModel3d(t *testing.T) {
	r := dice.New(t)
	m, tree := build(t, shapes.Gyroid(16))
	peer := model3d.NewMesh()
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		peer.Add(&model3d.Triangle{model3d.XYZ(a.X, a.Y, a.Z), model3d.XYZ(b.X, b.Y, b.Z), model3d.XYZ(c.X, c.Y, c.Z)})
	}
	collider := model3d.MeshToCollider(peer)
	field := model3d.MeshToSDF(peer)
	for range 3000 {
		o, d := within(r, m.Box(), 2), direction(r)
		theirs, ok := collider.FirstRayCollision(&model3d.Ray{Origin: model3d.XYZ(o.X, o.Y, o.Z), Direction: model3d.XYZ(d.X, d.Y, d.Z)})
		ours, found := tree.Ray(o, d, 0, math.Inf(1))
		require.Equal(t, ok, found)
		if ok {
			require.InDelta(t, theirs.Scale, ours.T, 1e-6)
		}
		signed := field.SDF(model3d.XYZ(o.X, o.Y, o.Z))
		_, _, away := tree.Nearest(o)
		require.InDelta(t, math.Abs(signed), away, 1e-6)
		inside := 0
		if signed > 0 {
			inside = 1
		}
		require.Equal(t, inside, tree.Winding(o, direction(r)))
	}
}

// A ray from inside a closed surface, aimed exactly at an edge or a corner, must hit it:
// it may not slip between triangles. And it meets the surface once there.
func TestNoRaySlipsThroughEdges(t *testing.T) {
	r := dice.New(t)
	for name, soup := range solids() {
		if name == "one" || name == "overlap" {
			continue // open, or with corners that a ray may pass by inside the other body
		}
		m, tree := build(t, soup)
		around := make([][]int, len(m.Verts)) // triangles at each corner
		for i, tri := range m.Tris {
			for _, v := range tri {
				around[v] = append(around[v], i)
			}
		}
		aimed := 0
		for range 8000 {
			o := within(r, m.Box(), 0)
			if tree.Winding(o, direction(r)) != 1 {
				continue
			}
			tri := m.Tris[r.IntN(len(m.Tris))]
			a, b := mesh.Of64(m.Verts[tri[0]]), mesh.Of64(m.Verts[tri[1]])
			part := []float64{0, .5, r.Float64(), 1}[r.IntN(4)]
			target := a.Add(b.Sub(a).Scale(part))
			d := target.Sub(o)
			at := around[tri[0]] // the triangles that hold the target
			if part > 0 {
				at = slices.DeleteFunc(slices.Clone(around[tri[1]]), func(i int) bool {
					return part < 1 && !slices.Contains(around[tri[0]], i)
				})
			}
			if grazes(m, at, d) {
				continue // past a rim that it only touches, rounding decides
			}
			hit, ok := tree.Ray(o, d, 0, math.Inf(1))
			require.True(t, ok, "%s from %v along %v", name, o, d)
			require.LessOrEqual(t, hit.T, 1+1e-9, "%s from %v along %v", name, o, d)
			require.Equal(t, 1, tree.Winding(o, d), "%s from %v along %v", name, o, d)
			aimed++
		}
		assert.Greater(t, aimed, 100, name)
	}
}

// grazes reports whether some triangle does not clearly face away from the origin of a
// ray along d that leaves the solid.
func grazes(m *mesh.Mesh, tris []int, d mesh.Vec) bool {
	for _, i := range tris {
		if n := m.Normal(i); n.Dot(d) < 1e-6*n.Len()*d.Len() {
			return true
		}
	}
	return false
}

// Rays exactly along grid lines of a box meet corners and diagonals head on.
func TestRaysThroughCornersAndDiagonals(t *testing.T) {
	_, tree := build(t, shapes.Box(vec(0, 0, 0), vec(4, 4, 4)))
	for x := 0.; x <= 4; x++ {
		for y := 0.; y <= 4; y++ {
			for _, o := range []mesh.Vec{vec(x, y, -3), vec(x, y, 7), vec(x, -3, y), vec(7, x, y)} {
				var d mesh.Vec
				switch {
				case o.Z < 0 || o.Z > 4:
					d.Z = 2 - o.Z
				case o.Y < 0:
					d.Y = 2 - o.Y
				default:
					d.X = 2 - o.X
				}
				hit, ok := tree.Ray(o, d, 0, math.Inf(1))
				require.True(t, ok, "%v along %v", o, d)
				require.InDelta(t, 3./5, hit.T, 1e-12)
				n := len(tree.Hits(o, d, 0, 10, nil))
				require.Contains(t, []int{0, 2}, n, "%v along %v", o, d)
			}
		}
	}
}

func TestRayPastAndLimits(t *testing.T) {
	_, tree := build(t, shapes.Box(vec(0, 0, 0), vec(4, 4, 4)))
	start := vec(1, 2.5, 0)
	first, ok := tree.Ray(start, vec(0, 0, 1), 0, 10)
	require.True(t, ok)
	assert.Zero(t, first.T)
	next, ok := tree.RayPast(start, vec(0, 0, 1), 0, 10, first.Tri)
	require.True(t, ok)
	assert.Equal(t, 4., next.T)
	assert.False(t, next.Into)
	_, ok = tree.RayPast(start, vec(0, 0, 1), 0, 3.99, first.Tri)
	assert.False(t, ok)
	_, ok = tree.RayPast(start, vec(0, 0, 1), 4.01, 10, first.Tri)
	assert.False(t, ok)
	_, ok = tree.RayPast(start, vec(0, 0, 1), 4, 4, first.Tri)
	assert.True(t, ok, "both ends are included")
}

func TestRayFromVeryFar(t *testing.T) {
	_, tree := build(t, shapes.Icosphere(1, 3))
	for _, d := range []mesh.Vec{{X: 1}, {Y: -1}, {Z: 1}, vec(1, 1, 1).Unit()} {
		hit, ok := tree.Ray(d.Scale(-1e7), d, 0, math.Inf(1))
		require.True(t, ok)
		assert.InDelta(t, 1e7-1, hit.T, .01)
		assert.Len(t, tree.Hits(d.Scale(-1e7), d, 0, 2e7, nil), 2)
		_, ok = tree.Ray(d.Scale(1e7), d, 0, math.Inf(1))
		assert.False(t, ok)
	}
}
