package shapes

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// triangleSet spells every triangle from its smallest corner on, sorted, so that two
// bodies with the same triangles in any order compare equal.
func triangleSet(s *mesh.Triangles) [][3]mesh.Point {
	less := func(a, b mesh.Point) int { return slices.Compare(a[:], b[:]) }
	set := make([][3]mesh.Point, s.Count())
	for i := range set {
		t := [3]mesh.Point(s.Corners[3*i : 3*i+3])
		for less(t[1], t[0]) < 0 || less(t[2], t[0]) < 0 {
			t = [3]mesh.Point{t[1], t[2], t[0]}
		}
		set[i] = t
	}
	slices.SortFunc(set, func(a, b [3]mesh.Point) int {
		for k := range 3 {
			if c := less(a[k], b[k]); c != 0 {
				return c
			}
		}
		return 0
	})
	return set
}

func TestChangesKeepTheSolid(t *testing.T) {
	s := Hook()
	changes := map[string]*mesh.Triangles{
		"move":    Move(s, Vec{X: -3, Y: 4, Z: 50}),
		"turn":    Turn(s, Vec{X: 1, Y: -1, Z: 2}, 33),
		"mirror":  Mirror(s),
		"shuffle": Shuffle(s, 3),
		"split":   Split4(s),
		"round":   Round(s, 0.001),
		"on bed":  OnBed(Move(s, Vec{Z: -7})),
	}
	for name, changed := range changes {
		t.Run(name, func(t *testing.T) {
			requireClosed(t, changed, false)
			assert.InEpsilon(t, volume(s), volume(changed), 1e-5)
			assert.InEpsilon(t, area(s), area(changed), 1e-5)
		})
	}
	assert.InEpsilon(t, 8*volume(s), volume(Scale(s, 2)), 1e-6)
	assert.InEpsilon(t, 4*area(s), area(Scale(s, 2)), 1e-6)
	assert.Equal(t, Hook(), s, "no change touches its argument")
}

func TestTurn(t *testing.T) {
	s := Box(Vec{X: 1, Y: 2, Z: 3}, Vec{X: 4, Y: 6, Z: 8})
	assert.Equal(t, mesh.Box{Min: Vec{X: -6, Y: 1, Z: 3}, Max: Vec{X: -2, Y: 4, Z: 8}}, Bounds(Turn(s, Z, 90)))
	assert.Equal(t, mesh.Box{Min: Vec{X: 1, Y: -8, Z: 2}, Max: Vec{X: 4, Y: -3, Z: 6}}, Bounds(Turn(s, X, 90)))
	assert.Equal(t, mesh.Box{Min: Vec{X: 3, Y: 2, Z: -4}, Max: Vec{X: 8, Y: 6, Z: -1}}, Bounds(Turn(s, Y, 90)))
	assert.Equal(t, s, Turn(Turn(s, Y, 90), Y, -90))
	assert.Equal(t, s, Turn(s, X, 360))
	assert.Equal(t, Turn(s, X, 180), Turn(s, X, -180))
	around := Turn(Turn(s, Vec{X: 1, Y: 1, Z: 1}, 77), Vec{X: 1, Y: 1, Z: 1}, -77)
	for i, p := range around.Corners {
		assert.InDelta(t, 0, mesh.Of64(p).Sub(mesh.Of64(s.Corners[i])).Len(), 1e-5)
	}
}

func TestMirrorAndFlip(t *testing.T) {
	s := LeaningArm(60, 20)
	m := Mirror(s)
	assert.Equal(t, -Bounds(s).Max.X, Bounds(m).Min.X)
	assert.Equal(t, s, Mirror(m))
	assert.InEpsilon(t, -volume(s), volume(Flip(s)), 1e-9)
	assert.Equal(t, s, Flip(Flip(s)))
}

func TestShuffleKeepsTheTriangles(t *testing.T) {
	s := Torus(10, 3, 12, 8)
	a, b := Shuffle(s, 1), Shuffle(s, 2)
	assert.Equal(t, a, Shuffle(s, 1), "a seed decides")
	assert.NotEqual(t, a, b)
	assert.NotEqual(t, s.Corners, a.Corners)
	assert.Equal(t, triangleSet(s), triangleSet(a))
	assert.Equal(t, triangleSet(s), triangleSet(b))
}

func TestSplit4KeepsThePlane(t *testing.T) {
	s := Table()
	split := Split4(s)
	require.Equal(t, 4*s.Count(), split.Count())
	for i := range split.Count() {
		parent, part := normal(s, i/4), normal(split, i)
		assert.InEpsilon(t, parent.Len(), 4*part.Len(), 1e-5)
		assert.InDelta(t, 1, parent.Unit().Dot(part.Unit()), 1e-6)
	}
}

func TestRoundIsTheNearestDecimal(t *testing.T) {
	s := Round(&mesh.Triangles{Corners: []mesh.Point{{0.12349, -0.12351, 17.0006}}}, 0.001)
	assert.Equal(t, []mesh.Point{{0.123, -0.124, 17.001}}, s.Corners)
}

func TestNoCornerIsMinusZero(t *testing.T) {
	for _, s := range []*mesh.Triangles{Mirror(Cube(1)), Turn(Cube(1), Z, 180), Scale(Mirror(Cube(1)), 2), Sphere(1, 8)} {
		for _, p := range s.Corners {
			for _, x := range p {
				assert.False(t, x == 0 && math.Signbit(float64(x)), "%v", p)
			}
		}
	}
}
