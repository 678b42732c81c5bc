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

// rising is a beam, 6 thick, between two posts over a gap: it rises by degrees, and its
// second half lies higher by a step.
func rising(gap, deg, step float64) *mesh.Triangles {
	box := func(x0, x1 float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x0}, mesh.Vec{X: x1, Y: 8, Z: 30 + step + float64(gap*math.Tan(deg*math.Pi/180))})
	}
	beam := func(x0, x1, up float64) *mesh.Triangles {
		at := func(x float64) float64 { return 15 + up + float64(x*math.Tan(deg*math.Pi/180)) }
		return shapes.ExtrudeY(shapes.Polygon{{x0, at(x0)}, {x1, at(x1)}, {x1, at(x1) + 6}, {x0, at(x0) + 6}}, 1, 7)
	}
	return shapes.Join(box(-10, 0), box(gap, gap+10), beam(-1, gap/2, 0), beam(gap/2, gap+1, step))
}

// What rises from post to post has nothing to end on while its lower layers are laid: it
// hangs as if the second post were not there.
func TestRisingBeamIsNoBridge(t *testing.T) {
	for _, c := range []struct {
		gap, deg, step float64
		bridge         bool
	}{
		{9, 0, 0, true}, {9, 15, 0, false}, {30, .3, 0, true}, {30, 2, 0, false}, {60, 20, 0, false},
		{12, 0, .4, false},
	} {
		for _, turn := range []float64{0, 53} {
			s := shapes.Turn(rising(c.gap, c.deg, c.step), shapes.Z, turn)
			name := fmt.Sprintf("gap %g rising %g deg, step %g, turned %g", c.gap, c.deg, c.step, turn)
			over, bridges := take(t, s, "overhang"), take(t, s, "bridge")
			if c.bridge {
				assert.Empty(t, over.Sites, name)
				assert.Len(t, bridges.Sites, 1, name)
				continue
			}
			assert.Empty(t, bridges.Sites, name)
			require.NotEmpty(t, over.Sites, name)
			assert.Greater(t, worst(t, "overhang", over, "reach"), c.gap/2-1, name)
		}
	}
}

// A ceiling that rises with its side walls is laid across them, layer by layer.
func TestTiltedCeilingIsBridgedAcross(t *testing.T) {
	for _, deg := range []float64{1, 5, 20} {
		up := 24 * math.Tan(deg*math.Pi/180)
		box := func(y0, y1 float64) *mesh.Triangles {
			return shapes.Box(mesh.Vec{Y: y0}, mesh.Vec{X: 24, Y: y1, Z: 16 + up})
		}
		s := shapes.Join(box(0, 6), box(22, 28), shapes.ExtrudeY(shapes.Polygon{{0, 12}, {24, 12 + up}, {24, 17 + up}, {0, 17 + up}}, 0, 28))
		for _, turn := range []float64{0, 17} {
			r := take(t, shapes.Turn(s, shapes.Z, turn), "bridge")
			require.NotEmpty(t, r.Sites, "%g deg, turned %g", deg, turn)
			assert.InDelta(t, 16, worst(t, "bridge", r, "span"), .5, "%g deg, turned %g", deg, turn)
		}
	}
}

// Whether a ceiling holds on the sheet at its end depends on how thick the sheet is, and
// not on how large the ceiling or the model is, by which the cells are made coarser.
func TestHoldIsCountedInMillimetres(t *testing.T) {
	box := func(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x0, Y: y0, Z: z0}, mesh.Vec{X: x1, Y: y1, Z: z1})
	}
	for _, size := range []float64{20, 36, 37, 60, 80} {
		for sheet, holds := range map[float64]bool{.2: false, .4: true} {
			for _, bed := range []float64{100, 620} {
				s := shapes.Join(box(-4, 0, 0, 0, size, 5), box(size, 0, 0, size+sheet, size, 5), box(-4, 0, 5, size+sheet, size, 7), box(-4, -20, 0, bed, -18, 1))
				reach := 0.0
				for _, v := range values(t, "overhang", take(t, s, "overhang"), "reach") {
					reach = max(reach, v)
				}
				assert.Equal(t, holds, reach < 2.5, "%g by %g on a sheet of %g, model %g long: reaches %g", size, size, sheet, bed, reach)
			}
		}
	}
}

// A ceiling over two walls, its open ends cut askew, is held along both: strands follow the
// cut, and nothing is left to hang.
func TestEndsCutAskewLeaveNothing(t *testing.T) {
	for _, askew := range []float64{0, 10, 20, 30} {
		shift := 20 * math.Tan(askew*math.Pi/180)
		cut := func(x float64) float64 { return x / 20 * shift }
		slab := func(x0, x1, z0, z1 float64) *mesh.Triangles {
			return shapes.Turn(shapes.ExtrudeY(shapes.Polygon{{x0, -30 - cut(x0)}, {x1, -30 - cut(x1)}, {x1, -cut(x1)}, {x0, -cut(x0)}}, z0, z1), shapes.X, 90)
		}
		s := shapes.Join(slab(-4, 0, 0, 10), slab(20, 24, 0, 10), slab(-4, 24, 10, 12))
		for _, v := range values(t, "overhang", take(t, s, "overhang"), "reach") {
			assert.Less(t, v, 1.5, "askew by %g", askew)
		}
		assert.LessOrEqual(t, worst(t, "bridge", take(t, s, "bridge"), "span"), 24.5, "askew by %g", askew)
	}
}
