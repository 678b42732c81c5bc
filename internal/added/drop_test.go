package added_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/added"
	"printlint/internal/cut"
	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// bored is a block as long as said with a lying hole of a radius, whose middle is at a height.
func bored(r, middle, wide, high, long float64, sides int) *mesh.Mesh {
	return mesh.Weld(shapes.ExtrudeY(shapes.Rect(-wide/2, 0, wide/2, high), 0, long, shapes.Ring(0, middle, r, sides)))
}

// ceilingOf lists the triangles that look straight down above the bed, the highest of them.
func ceilingOf(m *mesh.Mesh) (list []uint32) {
	top := 0.0
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		if n := m.Normal(i).Unit(); n.Z < -0.9 && min(a.Z, b.Z, c.Z) > 1 {
			if z := max(a.Z, b.Z, c.Z); z > top+1e-6 {
				top, list = z, nil
			}
			if max(a.Z, b.Z, c.Z) >= top-1e-6 {
				list = append(list, uint32(i))
			}
		}
	}
	return list
}

func pointed(m *mesh.Mesh, seeds []uint32, flat float64) *added.Drop {
	c := added.CeilingOf(m, m.Topology(), seeds)
	if c == nil {
		return nil
	}
	return c.Pointed(flat, 1.2)
}

// drop is what is taken away, and what is left.
func drop(t *testing.T, m *mesh.Mesh, flat float64) (d *added.Drop, rest, taken *mesh.Mesh) {
	t.Helper()
	d = pointed(m, ceilingOf(m), flat)
	require.NotNil(t, d)
	rest, taken, err := cut.Away(work.Of(t.Context()), m, d.Planes)
	require.NoError(t, err)
	require.True(t, rest.Topology().Closed())
	require.True(t, taken.Topology().Closed())
	require.InDelta(t, m.Volume(), rest.Volume()+taken.Volume(), 1e-5*m.Volume())
	return d, rest, taken
}

// TestARoundHoleIsPointed: beside the top of a circle of radius r two planes at 45 degrees leave
// r² (1 - π/4), along the hole, and meet at r (√2 - 1) above it.
func TestARoundHoleIsPointed(t *testing.T) {
	for _, r := range []float64{6, 10, 15, 30} {
		m := bored(r, 2*r, 4*r, 5*r, 40, 720)
		d, _, taken := drop(t, m, 0)
		assert.InDelta(t, r*(math.Sqrt2-1), d.Rise, 0.06, "%v", r)
		assert.InDelta(t, 40, d.Length, 1e-4)
		assert.InDelta(t, 40, taken.Box().Size().Y, 1e-4, "%v: no skin is left at the ends", r)
		assert.InDelta(t, r*r*(1-math.Pi/4)*40, taken.Volume(), (0.06*1.42*r+0.01)*40, "%v", r)
	}
}

// TestASquareChannelIsPointed: over a flat ceiling w wide lies half a square, of which a flat top
// leaves out the tip.
func TestASquareChannelIsPointed(t *testing.T) {
	const w, flat = 20.0, 8.0
	m := mesh.Weld(shapes.ExtrudeY(shapes.Rect(-30, 0, 30, 60), 0, 50, shapes.Rect(-w/2, 5, w/2, 5+w)))
	d, _, taken := drop(t, m, 0)
	assert.InDelta(t, w/2-0.04, d.Rise, 1e-4)
	side := w - 0.08
	assert.InDelta(t, side*side/4*50, taken.Volume(), 0.01)
	d, rest, taken := drop(t, m, flat)
	assert.InDelta(t, (w-0.08-flat)/2, d.Rise, 1e-4)
	assert.InDelta(t, (side*side-flat*flat)/4*50, taken.Volume(), 0.01)
	left := ceilingOf(rest)
	area := 0.0
	for _, i := range left {
		area += rest.Normal(int(i)).Len() / 2
	}
	assert.InDelta(t, flat*50, area, 0.01)
}

// TestABlindHoleKeepsItsEnd: what is taken ends at the wall in which the hole ends.
func TestABlindHoleKeepsItsEnd(t *testing.T) {
	m := mesh.Weld(shapes.Blocks([]float64{0, 20, 40, 60}, []float64{0, 30, 50}, []float64{0, 10, 30, 60}, func(i, j, k int) bool {
		return !(i == 1 && j == 0 && k == 1)
	}))
	_, _, taken := drop(t, m, 0)
	assert.InDelta(t, 29.96, taken.Box().Max.Y, 1e-4)
	assert.InDelta(t, 0, taken.Box().Min.Y, 1e-4)
	assert.InDelta(t, 19.92*19.92/4*29.96, taken.Volume(), 0.01)
}

// TestNoPointWhereTheWallIsThin: a point takes 4.14 mm above a hole of 10 mm radius, and a wall must
// be left above it; less is taken where a flat ends it. Another hole beside it is as bad.
func TestNoPointWhereTheWallIsThin(t *testing.T) {
	for above, want := range map[float64]bool{1: false, 5.2: false, 6: true} {
		m := bored(10, 15, 60, 25+above, 40, 64)
		assert.Equal(t, want, pointed(m, ceilingOf(m), 0) != nil, "%v mm", above)
	}
	channel := func(above float64) *mesh.Mesh {
		return mesh.Weld(shapes.ExtrudeY(shapes.Rect(-30, 0, 30, 25+above), 0, 50, shapes.Rect(-10, 5, 10, 25)))
	}
	m := channel(8)
	assert.Nil(t, pointed(m, ceilingOf(m), 0))
	assert.NotNil(t, pointed(m, ceilingOf(m), 8))
	m = mesh.Weld(shapes.ExtrudeY(shapes.Rect(-30, 0, 30, 60), 0, 50, shapes.Rect(-10, 5, 10, 25), shapes.Ring(0, 38, 5, 32)))
	var under []uint32
	for i := range m.Tris {
		if a, b, c := m.Corners(i); m.Normal(i).Unit().Z < -0.9 && min(a.Z, b.Z, c.Z) == 25 && max(a.Z, b.Z, c.Z) == 25 {
			under = append(under, uint32(i))
		}
	}
	assert.Nil(t, pointed(m, under, 0))
}

// TestNoPointWhereThereIsNoHole: an arm that is held at one side, a lid over a round pocket, and a
// ceiling with a hole upwards have no top to point.
func TestNoPointWhereThereIsNoHole(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"ledge":  ledge(),
		"pocket": mesh.Weld(shapes.Recess(30, 8, 32)),
		"window": mesh.Weld(shapes.Blocks([]float64{0, 20, 26, 34, 40, 60}, []float64{0, 16, 24, 40}, []float64{0, 10, 30, 60}, func(i, j, k int) bool {
			inside := i > 0 && i < 4
			return !(inside && k == 1) && !(i == 2 && j == 1 && k == 2)
		})),
	} {
		assert.Nil(t, pointed(m, ceilingOf(m), 0), name)
	}
}

// TestHolesThatLieAnyWay are pointed alike: turned about the vertical, and leaning a little.
func TestHolesThatLieAnyWay(t *testing.T) {
	r := dice.New(t)
	for range 40 {
		radius := 4 + 12*r.Float64()
		sides := 16 + 2*r.IntN(50)
		solid := shapes.ExtrudeY(shapes.Rect(-2*radius, 0, 2*radius, 5*radius), 0, 30, shapes.Ring(0, 2*radius, radius, sides))
		lean, turn := 20*r.Float64(), 360*r.Float64()
		m := mesh.Weld(shapes.OnBed(shapes.Turn(shapes.Turn(solid, shapes.X, lean), shapes.Z, turn)))
		d, _, taken := drop(t, m, 0)
		most := radius*radius*(1-math.Pi/4)*30 + 30*radius*radius*0.05
		assert.Less(t, taken.Volume(), most, "r %v, %d sides, lean %v", radius, sides, lean)
		assert.Greater(t, taken.Volume(), 0.95*radius*radius*(1-math.Pi/4)*30-0.08*1.42*radius*33, "r %v, %d sides, lean %v, turn %v", radius, sides, lean, turn)
		assert.InDelta(t, radius*(math.Sqrt2-1), d.Rise, 0.06+radius*0.04)
	}
}
