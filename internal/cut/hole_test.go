package cut

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestHolesInABar: a bar cut in two has both pieces closed, each less by the holes, and the holes
// of the two lie on each other.
func TestHolesInABar(t *testing.T) {
	m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: 30, Y: 20, Z: 80}))
	holes := []Hole{{X: 7, Y: 8, Radius: 2, Depth: 8}, {X: 23, Y: 12, Radius: 1, Depth: 5}}
	above, below, err := Apart(meter(t), m, 30, holes...)
	require.NoError(t, err)
	// a regular polygon around a circle of radius r has the area n r^2 tan(180 deg / n)
	area := func(r float64) float64 { return 32 * r * r * math.Tan(math.Pi/32) }
	lost := 8*area(2) + 5*area(1)
	assert.InDelta(t, lost, holes[0].Volume()+holes[1].Volume(), 1e-9)
	for piece, whole := range map[*mesh.Mesh]float64{above: 30 * 20 * 50, below: 30 * 20 * 30} {
		assert.True(t, piece.Topology().Closed())
		assert.InEpsilon(t, whole-lost, piece.Volume(), 1e-6)
		assert.InDelta(t, 600-area(2)-area(1), capArea(piece, 30), 1e-4)
	}
	assert.InDelta(t, area(2), capArea(above, 38), 1e-4, "the floor of a hole")
	assert.InDelta(t, area(1), capArea(below, 25), 1e-4)
	rims := func(m *mesh.Mesh) map[mesh.Point]bool {
		list := map[mesh.Point]bool{}
		for _, v := range m.Verts {
			if v[2] == 30 {
				list[v] = true
			}
		}
		return list
	}
	assert.Equal(t, rims(above), rims(below))
	assert.Len(t, rims(above), 2*holeSides+8) // and where the edges and diagonals of the sides meet the plane
}

// TestAHoleIsCutWhereItsMiddleIsSolid: not beside the section, nor in a hollow of it, but in
// what stands in that hollow.
func TestAHoleIsCutWhereItsMiddleIsSolid(t *testing.T) {
	tube := shapes.Prism(shapes.Ring(0, 0, 20, 40), 0, 40, shapes.Ring(0, 0, 15, 40))
	m := mesh.Weld(shapes.Join(tube, shapes.Prism(shapes.Ring(0, 0, 8, 40), 0, 40)))
	plain, _, err := Apart(meter(t), m, 20)
	require.NoError(t, err)
	for _, c := range []struct {
		x    float64
		want float64
	}{{0, 1}, {11, 0}, {17.5, 1}, {30, 0}} {
		h := Hole{X: c.x, Radius: 1, Depth: 6}
		above, below, err := Apart(meter(t), m, 20, h)
		require.NoError(t, err)
		for _, piece := range []*mesh.Mesh{above, below} {
			assert.True(t, piece.Topology().Closed())
			assert.InDelta(t, plain.Volume()-c.want*h.Volume(), piece.Volume(), 0.01, "at x = %v", c.x)
		}
	}
}

// TestExtent is the box around the section alone.
func TestExtent(t *testing.T) {
	box := Extent(mesh.Weld(shapes.T()), 1)
	whole := mesh.Weld(shapes.T()).Box()
	assert.Less(t, box.Size().X, whole.Size().X)
	assert.Equal(t, [2]float64{1, 1}, [2]float64{box.Min.Z, box.Max.Z})
}
