package added_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/added"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// lowest is a triangle of the mesh that looks down at a height.
func lookingDown(t *testing.T, m *mesh.Mesh, z float64) uint32 {
	t.Helper()
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		if n := m.Normal(i).Unit(); n.Z < -0.99 && a.Z == z && b.Z == z && c.Z == z {
			return uint32(i)
		}
	}
	t.Fatalf("nothing looks down at %g mm", z)
	return 0
}

func volumeOf(t *testing.T, s *mesh.Triangles) float64 {
	t.Helper()
	m := mesh.Weld(s)
	require.True(t, m.Topology().Closed())
	return m.Volume()
}

// ledge is a post of 10 mm with an arm that reaches 12 mm out at the top.
func ledge() *mesh.Mesh {
	return mesh.Weld(shapes.ExtrudeY(shapes.Polygon{{0, 0}, {10, 0}, {10, 30}, {22, 30}, {22, 34}, {0, 34}}, 0, 20))
}

// TestASlopeUnderALedge: the wedge under an arm of 12 mm is half a square of 12 mm, 20 mm wide.
func TestASlopeUnderALedge(t *testing.T) {
	m := ledge()
	s := added.Under(m, m.Topology(), []uint32{lookingDown(t, m, 30)}, 45, 0)
	require.NotNil(t, s)
	assert.InDelta(t, 12, s.Reach, 1e-6)
	assert.InDelta(t, 12*12/2*20+0.02*12*20, volumeOf(t, s.Solid), 0.5)
	box := mesh.Weld(s.Solid).Box()
	assert.InDelta(t, 18, box.Min.Z, 1e-6)
	assert.InDelta(t, 30.02, box.Max.Z, 1e-5)
}

// TestASlopeEndsAtTheBed: under an arm that is lower than it is long the solid stands on the bed.
func TestASlopeEndsAtTheBed(t *testing.T) {
	m := mesh.Weld(shapes.ExtrudeY(shapes.Polygon{{0, 0}, {10, 0}, {10, 5}, {22, 5}, {22, 9}, {0, 9}}, 0, 20))
	s := added.Under(m, m.Topology(), []uint32{lookingDown(t, m, 5)}, 45, 0)
	require.NotNil(t, s)
	assert.InDelta(t, 0, mesh.Weld(s.Solid).Box().Min.Z, 1e-6)
	assert.InDelta(t, (12*12-7*7)/2.0*20+0.02*12*20, volumeOf(t, s.Solid), 12*20*0.5)
}

// TestAnArchUnderABridge: between two posts the slope comes from both sides.
func TestAnArchUnderABridge(t *testing.T) {
	m := mesh.Weld(shapes.Portal(20))
	z := m.Box().Max.Z
	for i := range m.Tris {
		a, _, _ := m.Corners(i)
		if n := m.Normal(i).Unit(); n.Z < -0.99 && a.Z > 1 {
			z = math.Min(z, a.Z)
		}
	}
	s := added.Under(m, m.Topology(), []uint32{lookingDown(t, m, z)}, 45, 0)
	require.NotNil(t, s)
	assert.InDelta(t, 10, s.Reach, 0.5)
	assert.Positive(t, volumeOf(t, s.Solid))
}

// TestAnArchThatEndsWhereTheSpanHolds: of a bridge of 60 mm two slopes leave 10 mm in the middle, and
// each is half a square of 25 mm. A slope that has nothing to do is none.
func TestAnArchThatEndsWhereTheSpanHolds(t *testing.T) {
	m := mesh.Weld(shapes.ExtrudeY(shapes.Polygon{{0, 0}, {10, 0}, {10, 40}, {70, 40}, {70, 0}, {80, 0}, {80, 50}, {0, 50}}, 0, 10))
	under := []uint32{lookingDown(t, m, 40)}
	s := added.Under(m, m.Topology(), under, 45, 5)
	require.NotNil(t, s)
	assert.InDelta(t, 30, s.Reach, 0.5)
	assert.InDelta(t, 2*25*25/2*10, volumeOf(t, s.Solid), 2*25*10*0.5)
	bottom := mesh.Weld(s.Solid)
	assert.InDelta(t, 15, bottom.Box().Min.Z, 0.5)
	for _, v := range bottom.Verts {
		assert.False(t, v[0] > 36.1 && v[0] < 43.9, "%v lies in the span that is left", v)
	}
	assert.Nil(t, added.Under(m, m.Topology(), under, 45, 30))
}

// TestNothingHoldsAFloatingPiece: no slope can come to it.
func TestNothingHoldsAFloatingPiece(t *testing.T) {
	m := mesh.Weld(shapes.Box(mesh.Vec{Z: 10}, mesh.Vec{X: 5, Y: 5, Z: 15}))
	assert.Nil(t, added.Under(m, m.Topology(), []uint32{lookingDown(t, m, 10)}, 45, 0))
}

// TestWallsCutABridge: two walls of 1.2 mm leave three equal spans.
func TestWallsCutABridge(t *testing.T) {
	box := mesh.Box{Min: mesh.Vec{X: 10, Z: 20}, Max: mesh.Vec{X: 40, Y: 8, Z: 20}}
	for _, alongX := range []bool{true, false} {
		s := added.Walls(box, alongX, 2, 1.2, 0)
		long := 8.0
		if !alongX {
			long = 30
		}
		assert.InDelta(t, 2*1.2*long*20.02, volumeOf(t, s), 0.01)
	}
	m := mesh.Weld(added.Walls(box, true, 2, 1.2, 5))
	assert.InDelta(t, 19.4, m.Box().Min.X, 1e-5)
	assert.InDelta(t, 30.6, m.Box().Max.X, 1e-5)
	assert.InDelta(t, 5, m.Box().Min.Z, 1e-5)
}

// TestAPlateUnderTheFoot holds all that is low, and the middle of the surface.
func TestAPlateUnderTheFoot(t *testing.T) {
	m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 4, Y: 6, Z: 50}))
	s, size := added.Plate(m, 1, 0.8, 5)
	require.NotNil(t, s)
	assert.InDelta(t, 14*16*0.8, volumeOf(t, s), 0.01)
	assert.Equal(t, mesh.Vec{X: 14, Y: 16, Z: 0.8}, size)
	none, _ := added.Plate(mesh.Weld(shapes.Box(mesh.Vec{Z: 3}, mesh.Vec{X: 4, Y: 6, Z: 50})), 1, 0.8, 5)
	assert.Nil(t, none)
}

// TestNoSlopeWhereAHoleGoesUp: a screw or a shaft may sit in the hole of a ledge. A window is too
// wide for that, and a peg below only holds the ledge.
func TestNoSlopeWhereAHoleGoesUp(t *testing.T) {
	arm := func(wide float64, below, above bool) *mesh.Mesh {
		return mesh.Weld(shapes.Blocks([]float64{0, 10, 14, 14 + wide, 18 + wide}, []float64{0, 4, 4 + wide, 8 + wide}, []float64{0, 20, 25}, func(i, j, k int) bool {
			middle := i == 2 && j == 1
			return k == 0 && (i == 0 || middle && below) || k == 1 && (!middle || above)
		}))
	}
	for name, c := range map[string]struct {
		solid *mesh.Mesh
		z     float64
		slope bool
	}{
		"whole":  {arm(8, false, true), 20, true},
		"hole":   {arm(8, false, false), 20, false},
		"window": {arm(24, false, false), 20, true},
		"peg":    {arm(8, true, true), 20, true},
		"recess": {mesh.Weld(shapes.Recess(8, 3, 32)), 5, false},
	} {
		s := added.Under(c.solid, c.solid.Topology(), []uint32{lookingDown(t, c.solid, c.z)}, 45, 0)
		assert.Equal(t, c.slope, s != nil, name)
	}
}
