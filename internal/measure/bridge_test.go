package measure

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func TestBridgeOfExactShapes(t *testing.T) {
	cases := []struct {
		name string
		soup *mesh.Triangles
		span float64 // 0: no bridge at all
	}{
		{"portal of 30", shapes.Portal(30), 30},
		{"portal of touching boxes", shapes.PortalTouching(30), 30},
		{"portal of 8", shapes.Portal(8), 8},
		{"box roof 30 by 60", shapes.RoofedBox(), 30},
		{"M on two feet", shapes.M(), -1},
		{"T", shapes.T(), 0},
		{"arm at 60", shapes.LeaningArm(60, 15), 0},
	}
	for _, c := range cases {
		if c.span < 0 {
			continue
		}
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				r := take(t, v.change(c.soup), "bridge")
				if c.span == 0 {
					require.Empty(t, r.Sites)
					return
				}
				require.Len(t, r.Sites, 1)
				assert.InDelta(t, c.span, value(t, "bridge", r.Sites[0], "span"), 2*cell)
				assert.LessOrEqual(t, value(t, "bridge", r.Sites[0], "rest"), process.Line)
				assert.Empty(t, take(t, v.change(c.soup), "overhang").Sites)
			})
		}
	}
}

// Whatever the turn about z, a portal is one bridge of its gap: directions tried
// only every few degrees would miss it in between.
func TestPortalTurnedByAnyAngle(t *testing.T) {
	for deg := 1.0; deg < 180; deg += 13.7 {
		r := take(t, shapes.Turn(shapes.Portal(30), shapes.Z, deg), "bridge")
		require.Len(t, r.Sites, 1, "turned %g", deg)
		assert.InDelta(t, 30, value(t, "bridge", r.Sites[0], "span"), 2*cell, "turned %g", deg)
	}
}

// The roof of a round hole of diameter d that lies down leans past 45 degrees over
// a chord of d / sqrt 2 (computed): a 10 mm limit passes holes up to 14.1 mm.
func TestRoundHoleLyingDown(t *testing.T) {
	for _, d := range []float64{8, 14.1, 20} {
		r := take(t, shapes.HoleBlock(d, 256), "bridge", 45, 0.5)
		require.NotEmpty(t, r.Sites)
		assert.InDelta(t, d/math.Sqrt2, worst(t, "bridge", r, "span"), 0.4, "d %g", d)
		assert.Empty(t, take(t, shapes.HoleBlock(d, 256), "overhang", 45).Sites)
	}
}

// Below a portal of 30 mm that stands on a plate of 4 mm the air is as high as its posts.
func TestDropBelowABridge(t *testing.T) {
	box := func(x0, z0, x1, z1 float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x0, Z: z0}, mesh.Vec{X: x1, Y: 10, Z: z1})
	}
	for _, high := range []float64{.4, 1, 17} {
		s := shapes.Join(box(0, 0, 50, 4), box(0, 4, 10, 4+high), box(40, 4, 50, 4+high), box(0, 4+high, 50, 8+high))
		r := take(t, s, "bridge")
		require.Len(t, r.Sites, 1)
		assert.InDelta(t, high, value(t, "bridge", r.Sites[0], "drop"), process.Layer/2, "%g mm", high)
	}
}

// A roof over a bay that is open at one side: where the bridge is told follows from its own
// reach, whatever else is asked for.
func TestPlaceOfABridgeIsItsOwn(t *testing.T) {
	bay := shapes.Blocks([]float64{0, 4, 13, 17}, []float64{0, 4, 20}, []float64{0, 10, 12}, func(i, j, k int) bool { return k == 1 || i != 1 || j == 0 })
	alone := take(t, bay, "bridge", 45, 4)
	require.Len(t, alone.Sites, 1)
	asked := []Request{{"bridge", []float64{45, .6}}, {"bridge", []float64{45, 4}}}
	both, err := NewBody(mesh.Weld(bay)).Measure(t.Context(), AsIs, process, Options{}, asked)
	require.NoError(t, err)
	assert.NotEqual(t, both[0].Sites[0].At, both[1].Sites[0].At, "they differ in this solid")
	assert.Equal(t, alone.Sites[0].At, both[1].Sites[0].At)
}

// A deck on four posts needs its edge strips first; those carry the middle.
func TestDeckOnFourPosts(t *testing.T) {
	wide := process
	defer func() { process = wide }()
	r := take(t, shapes.FourPosts(), "overhang")
	require.Len(t, r.Sites, 1, "strips of 30 mm are longer than what carries")
	process.Bridge = 35
	assert.Empty(t, take(t, shapes.FourPosts(), "overhang").Sites)
	b := take(t, shapes.FourPosts(), "bridge")
	require.Len(t, b.Sites, 1)
	assert.InDelta(t, 30, value(t, "bridge", b.Sites[0], "span"), 2*cell)
	assert.Equal(t, 1.0, value(t, "bridge", b.Sites[0], "sequential"))
}

// A ledge along a wall, closed at both ends, is carried along its whole side: up to
// the reach it needs no bridge, and past it the bridge is counted.
func TestNarrowLedgeIsNoBridgeAlongItsLength(t *testing.T) {
	ledge := func(depth float64) *mesh.Triangles {
		wall := shapes.Box(mesh.Vec{}, mesh.Vec{X: 60, Y: 5, Z: 20})
		shelf := shapes.Box(mesh.Vec{X: 0, Y: 4, Z: 12}, mesh.Vec{X: 60, Y: 5 + depth, Z: 20})
		ends := shapes.Join(
			shapes.Box(mesh.Vec{X: -3, Y: 0, Z: 0}, mesh.Vec{X: 1, Y: 5 + depth, Z: 20}),
			shapes.Box(mesh.Vec{X: 59, Y: 0, Z: 0}, mesh.Vec{X: 63, Y: 5 + depth, Z: 20}))
		return shapes.Join(wall, shelf, ends)
	}
	assert.Empty(t, take(t, ledge(1.9), "bridge", 45, 2).Sites)
	r := take(t, ledge(6), "bridge", 45, 2)
	require.Len(t, r.Sites, 1)
	assert.InDelta(t, 58, value(t, "bridge", r.Sites[0], "span"), 2*cell)
}

// A fan of ribs under a roof: each gap is crossed square to its ribs, which needs
// as many directions as there are ribs.
func TestFanOfRibs(t *testing.T) {
	soups := []*mesh.Triangles{shapes.Move(shapes.Cylinder(40, 3, 96), mesh.Vec{Z: 15}), shapes.Cylinder(8, 15.5, 48)}
	const ribs = 12
	for i := range ribs {
		rib := shapes.Box(mesh.Vec{X: 5, Y: -1, Z: 0}, mesh.Vec{X: 40, Y: 1, Z: 15.5})
		soups = append(soups, shapes.Turn(rib, shapes.Z, 360*float64(i)/ribs+4))
	}
	soup := shapes.Join(soups...)
	assert.LessOrEqual(t, worst(t, "overhang", take(t, soup, "overhang"), "reach"), 2.0)
	span := worst(t, "bridge", take(t, soup, "bridge"), "span")
	assert.Less(t, span, 2*40*math.Sin(math.Pi/ribs)+1, fmt.Sprintf("span %g", span))
}
