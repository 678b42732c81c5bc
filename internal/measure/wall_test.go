package measure

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// box is one between two corners.
func box(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return shapes.Box(shapes.Vec{X: x0, Y: y0, Z: z0}, shapes.Vec{X: x1, Y: y1, Z: z1})
}

// wallCase is what the one thin place of a shape must be.
type wallCase struct {
	name                           string
	soup                           *mesh.Triangles
	thickness, area, length, slack float64
	upright, sharp                 float64
}

func (c *wallCase) check(t *testing.T, r Result) {
	t.Helper()
	if !assert.Len(t, r.Sites, 1, c.name) {
		return
	}
	s := r.Sites[0]
	assert.Equal(t, c.thickness, value(t, "wall", s, "thickness"), c.name)
	assert.InEpsilon(t, c.area, value(t, "wall", s, "area"), c.slack, c.name)
	assert.InEpsilon(t, c.length, value(t, "wall", s, "length"), c.slack, c.name)
	assert.Equal(t, c.upright, value(t, "wall", s, "upright"), c.name)
	assert.Equal(t, c.sharp, value(t, "wall", s, "sharp"), c.name)
	assert.InDelta(t, c.area/c.length, value(t, "wall", s, "width"), c.area/c.length*3*c.slack, c.name)
	assert.NotEmpty(t, s.Tris, c.name)
}

// Closed forms of MEASURES: the thickness is that of the drawing to the last digit,
// although corners are stored as float32.
func TestWallsOfExactShapes(t *testing.T) {
	for _, c := range []wallCase{
		{"fin on a plate", shapes.Fin(.3), .3, 300, 25, .06, 1, 0},
		{"fin of a single line", shapes.Fin(.4), .4, 300, 25, .06, 1, 0},
		{"fin as a body of its own, standing on the plate", shapes.Join(box(0, 0, 0, 30, 20, 3), box(14.85, 0, 3, 15.15, 20, 18)), .3, 300, 25, .06, 1, 0},
		{"fin sunk into the plate", shapes.Join(box(0, 0, 0, 30, 20, 3), box(14.85, 0, 1, 15.15, 20, 18)), .3, 300, 25, .06, 1, 0},
		{"pocket with a thin floor", shapes.Pocket(.25), .25, 100, 14.1, .1, 0, 0},
		{"slab", shapes.Slab(.6), .6, 2500, 70.7, .05, 0, 0},
		{"slab on its side", shapes.Turn(shapes.Slab(.6), shapes.X, 90), .6, 2500, 70.7, .05, 1, 0},
		{"slab far away", shapes.Move(shapes.Slab(.6), shapes.Vec{X: 200, Y: -150, Z: 90}), .6, 2500, 70.7, .05, 0, 0},
	} {
		c.check(t, take(t, c.soup, "wall"))
		split := c
		split.name, split.soup = c.name+", split in four", shapes.Split4(c.soup)
		split.check(t, take(t, split.soup, "wall"))
		mixed := c
		mixed.name, mixed.soup = c.name+", shuffled", shapes.Shuffle(c.soup, 5)
		mixed.check(t, take(t, mixed.soup, "wall"))
	}
}

func TestSolidShapesHaveNoWall(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"cube": shapes.Cube(20), "small cube": shapes.Cube(1), "T": shapes.T(), "torus": shapes.Torus(10, 3, 64, 32),
		"ball": shapes.Icosphere(10, 3), "screw hole": shapes.HoleBlock(8, 48), "bolt": shapes.Bolt(48),
		"gable of 45 deg": shapes.ExtrudeY(shapes.Polygon{{0, 0}, {40, 0}, {20, 20}}, 0, 30),
		"gable of 60 deg": shapes.ExtrudeY(shapes.Polygon{{0, 0}, {20, 0}, {10, 17.32}}, 0, 30),
		"chamfered bar":   shapes.ExtrudeY(shapes.Polygon{{.5, 0}, {9.5, 0}, {10, .5}, {10, 9.5}, {9.5, 10}, {.5, 10}, {0, 9.5}, {0, .5}}, 0, 30),
		"rounded bar":     shapes.Cylinder(2, 30, 200),
		"letters one layer high": shapes.Join(box(0, 0, 0, 30, 20, 3), box(5, 5, 3, 6, 15, 3.2),
			box(8, 5, 3, 9, 15, 3.2), box(5, 9, 3, 9, 10, 3.2)),
		"thread":      shapes.ThreadedRod(5, 1, 8, 48),
		"thick walls": shapes.HollowBox(20, .9),
		"limit kept":  shapes.HollowBox(20, .8),
	} {
		r := take(t, soup, "wall")
		assert.Empty(t, r.Sites, name)
		assert.Equal(t, []float64{.8, 0}, r.Model, name)
	}
}

// Where bodies touch, overlap, or lie in each other, only the surface of the whole
// counts.
func TestWallsOfTheWholeOnly(t *testing.T) {
	plate := box(0, 0, 0, 30, 20, 3)
	for name, soup := range map[string]*mesh.Triangles{
		"boxes face to face":                 shapes.Join(box(0, 0, 0, 10, 10, 10), box(10, 0, 0, 20, 10, 10)),
		"thin boxes face to face, a stack":   shapes.Join(box(0, 0, 0, 10, 10, .5), box(0, 0, .5, 10, 10, 1), box(0, 0, 1, 10, 10, 1.5)),
		"boxes that overlap a little":        shapes.Join(box(0, 0, 0, 10, 10, 10), box(9.7, 0, 0, 20, 10, 10)),
		"a thin body inside":                 shapes.Join(plate, box(5, 5, 1, 25, 15, 1.3)),
		"a thin skin on a plate":             shapes.Join(plate, box(0, 0, 3, 30, 20, 3.2)),
		"a thin skin around a body":          shapes.Join(box(-.2, -.2, -.2, 10.2, 10.2, 10.2), box(0, 0, 0, 10, 10, 10)),
		"the same body twice":                shapes.Join(plate, plate),
		"some triangles twice":               shapes.Join(plate, one(plate, 0), one(plate, 5)),
		"a body almost as large within":      shapes.Join(box(0, 0, 0, 10, 10, 10), box(.1, .1, .1, 9.9, 9.9, 9.9)),
		"a sheet of no thickness in a plate": shapes.Join(plate, box(2, 2, 1, 28, 18, 2), shapes.Flip(box(2, 2, 1, 28, 18, 2))),
	} {
		assert.Empty(t, take(t, soup, "wall").Sites, name)
	}
	// A cavity under a thin roof is thin, though a body of the same size is not.
	roof := take(t, shapes.Join(plate, shapes.Flip(box(5, 5, 1, 25, 15, 2.7))), "wall")
	require.Len(t, roof.Sites, 1)
	assert.Equal(t, .3, value(t, "wall", roof.Sites[0], "thickness"))
	// Two thin boxes that overlap make one as thick as both.
	both := take(t, shapes.Join(box(0, 0, 0, 20, 20, .4), box(0, 0, .3, 20, 20, .7)), "wall")
	require.Len(t, both.Sites, 1)
	assert.Equal(t, .7, value(t, "wall", both.Sites[0], "thickness"))
}

func TestInsideOutAndDamagedBodies(t *testing.T) {
	fin := shapes.Join(box(0, 0, 0, 30, 20, 3), box(14.85, 0, 3, 15.15, 20, 18))
	for name, soup := range map[string]*mesh.Triangles{
		"one body inside out": shapes.Join(box(-40, 0, 0, -20, 20, 20), shapes.Flip(box(14.85, 0, 0, 15.15, 20, 18))),
		"a side missing":      without(fin, 0),
		"top missing":         without(fin, 15),
	} {
		r := take(t, soup, "wall")
		require.NotEmpty(t, r.Sites, name)
		assert.Equal(t, .3, r.Model[0], name)
	}
}

// A wedge is d tan a thick at distance d from its edge.
func TestBladesTaperToNothing(t *testing.T) {
	for _, deg := range []float64{6, 10, 20, 28} {
		r := take(t, shapes.Wedge(deg), "wall")
		require.Len(t, r.Sites, 1, "%v deg", deg)
		s := r.Sites[0]
		assert.Equal(t, 1., value(t, "wall", s, "sharp"), "%v deg", deg)
		assert.Zero(t, value(t, "wall", s, "thickness"))
		// Looked at from below, it is thin up to 0.8 / tan a from the edge, from above
		// up to 0.8 / sin a along the slope, less by the turn of the normal.
		assert.InEpsilon(t, .8/math.Tan(deg*math.Pi/180), s.Box.Max.X, .12, "%v deg", deg)
		assert.Equal(t, .8, r.Model[0], "sharp edges are not the thinnest wall")
	}
	for _, deg := range []float64{31, 45, 59} {
		assert.Empty(t, take(t, shapes.Wedge(deg), "wall").Sites, "%v deg", deg)
	}
	// A wall that gets thinner without coming to an edge is a wall.
	tapered := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {3, 0}, {.5, 10}, {0, 10}}, 0, 20)
	r := take(t, tapered, "wall")
	require.Len(t, r.Sites, 1)
	assert.Equal(t, 0., value(t, "wall", r.Sites[0], "sharp"))
	assert.InDelta(t, .5, value(t, "wall", r.Sites[0], "thickness"), .05)
}

// Facets of n corners stand cos(pi/n) nearer to each other than their circles.
func TestRoundWalls(t *testing.T) {
	for _, n := range []int{24, 64, 200} {
		r := take(t, shapes.Tube(10, 9.5, 10, n), "wall")
		require.NotEmpty(t, r.Sites)
		assert.InDelta(t, .5*math.Cos(math.Pi/float64(n)), r.Model[0], 2e-4, "%d corners", n)
		assert.InEpsilon(t, math.Pi*19.5*10, r.Model[1], .05)
	}
	shell := take(t, shapes.Join(shapes.Icosphere(10, 4), shapes.Flip(shapes.Icosphere(9.4, 4))), "wall")
	assert.InDelta(t, .6, shell.Model[0], .006)
	upright, level := 0, 0
	for _, s := range shell.Sites {
		if value(t, "wall", s, "upright") > 0 {
			upright++
		} else {
			level++
		}
	}
	assert.Equal(t, [2]int{1, 2}, [2]int{upright, level}, "a belt and two caps")
}

func TestSitesApartAndTogether(t *testing.T) {
	plate := box(0, 0, 0, 60, 20, 3)
	fins := func(x ...float64) *mesh.Triangles {
		all := plate
		for _, at := range x {
			all = shapes.Join(all, box(at, 0, 3, at+.5, 20, 10))
		}
		return all
	}
	assert.Len(t, take(t, fins(10, 30, 50), "wall").Sites, 3)
	assert.Len(t, take(t, fins(10, 12, 14), "wall").Sites, 3, "each fin of a comb is a wall")
	assert.Len(t, take(t, shapes.Split4(fins(10, 12, 14)), "wall").Sites, 3, "each fin of a comb is a wall")
}

// Pins are walls of their own, however near they stand.
func TestPinsNearEachOther(t *testing.T) {
	for _, apart := range []float64{3.5, 3.2, 1} {
		pins := box(-1, -1, -2, 20, 20, 0)
		for i := range 25 {
			x, y := float64(i%5)*apart, float64(i/5)*apart
			pins = shapes.Join(pins, box(x, y, 0, x+.29, y+.29, 11))
		}
		r := take(t, pins, "wall", .4)
		require.Len(t, r.Sites, 25, "%v apart", apart)
		for _, s := range r.Sites {
			assert.InEpsilon(t, 2*.29*11, value(t, "wall", s, "area"), .01)
			assert.Less(t, value(t, "wall", s, "width"), .8)
		}
	}
}

// What lies upright depends on the pose; the rest does not, and nothing is searched
// again.
func TestUprightFollowsThePose(t *testing.T) {
	body := NewBody(mesh.Weld(shapes.Slab(.5)))
	ask := func(p Pose) Site {
		r, err := body.Measure(context.Background(), p, process, Options{}, []Request{{Measure: "wall"}})
		require.NoError(t, err)
		require.Len(t, r[0].Sites, 1)
		return r[0].Sites[0]
	}
	level := ask(AsIs)
	upright := ask(lying)
	assert.Equal(t, 0., value(t, "wall", level, "upright"))
	assert.Equal(t, 1., value(t, "wall", upright, "upright"))
	assert.Equal(t, level.At, upright.At)
	assert.Equal(t, value(t, "wall", level, "area"), value(t, "wall", upright, "area"))
}

// The widest limit is searched once; each request sees what is thinner than its own.
func TestSeveralLimitsAtOnce(t *testing.T) {
	soup := shapes.Join(box(0, 0, 0, 60, 20, 3), box(10, 0, 3, 10.3, 20, 10), box(30, 0, 3, 30.6, 20, 10))
	body := NewBody(mesh.Weld(soup))
	ask := func(limits ...float64) (n []int) {
		var q []Request
		for _, l := range limits {
			q = append(q, Request{"wall", []float64{l}})
		}
		r, err := body.Measure(context.Background(), AsIs, process, Options{}, q)
		require.NoError(t, err)
		for i := range r {
			n = append(n, len(r[i].Sites))
		}
		return n
	}
	assert.Equal(t, []int{1, 2, 0}, ask(.4, .8, .2))
	assert.Equal(t, []int{1, 2, 0}, ask(.6, .61, .3), "limits are strict")
}

func TestSameSamplesForAnyNumberOfWorkers(t *testing.T) {
	m := mesh.Weld(shapes.Join(shapes.Icosphere(10, 5), shapes.Flip(shapes.Icosphere(9.5, 5))))
	var results [3]Result
	for i, jobs := range []int{0, 1, 4} {
		r, err := NewBody(m).Measure(context.Background(), AsIs, process, Options{Jobs: jobs}, []Request{{Measure: "wall"}})
		require.NoError(t, err)
		results[i] = r[0]
	}
	assert.Equal(t, results[0], results[1])
	assert.Equal(t, results[0], results[2])
}

func TestWallSearchCanBeStopped(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err := NewBody(mesh.Weld(shapes.Slab(.5))).Measure(ctx, AsIs, process, Options{}, []Request{{Measure: "wall"}})
	assert.ErrorIs(t, err, context.Canceled)
}

// A rim of one height is as wide whether it runs straight or bends: 2 mm high, 0.35 thick.
func TestWidthOfWhatBends(t *testing.T) {
	foot := box(-40, -40, -3, 40, 40, 0)
	side := func(h float64) shapes.Polygon { return shapes.Polygon{{-h, -h}, {h, -h}, {h, h}, {-h, h}} }
	for name, c := range map[string]struct {
		soup   *mesh.Triangles
		height float64
	}{
		"straight": {shapes.Join(foot, box(-30, 0, 0, 30, .35, 2)), 2},
		"ring":     {shapes.Join(foot, shapes.Tube(15, 14.65, 2, 96)), 2},
		"square":   {shapes.Join(foot, shapes.Prism(side(12), 0, 2, side(11.65))), 2},
		"bent":     {shapes.Join(foot, shapes.Prism(shapes.Polygon{{0, 0}, {30, 0}, {30, 30}, {29.65, 30}, {29.65, .35}, {0, .35}}, 0, 2)), 2},
		"tall":     {shapes.Join(foot, shapes.Tube(15, 14.65, 5, 96)), 5},
	} {
		for _, v := range variants {
			r := take(t, v.change(c.soup), "wall", .4)
			require.Len(t, r.Sites, 1, name)
			assert.InEpsilon(t, c.height, value(t, "wall", r.Sites[0], "width"), .17, "%s, %s", name, v.name)
		}
	}
}

// Bodies drawn to touch are one, though text and turns leave a hair between them: then
// a thin skin on a block is no wall, and no slot lies between them.
func TestBodiesDrawnTouching(t *testing.T) {
	for _, hair := range []float64{1e-4, 1e-3, .005, .019} {
		for _, turn := range []float64{0, 13, 37} {
			skin := shapes.Join(box(0, 0, 0, 10, 20, 20), box(10+hair, 0, 0, 10.35+hair, 20, 20), box(10.35+2*hair, 0, 0, 20, 20, 20))
			soup := shapes.Round(shapes.Turn(skin, shapes.Z, turn), 1e-4)
			assert.Empty(t, take(t, soup, "wall", .4).Sites, "%g apart, turned %g", hair, turn)
			assert.Empty(t, take(t, soup, "gap", .3).Sites, "%g apart, turned %g", hair, turn)
		}
	}
	apart := shapes.Join(box(0, 0, 0, 10, 20, 20), box(10.03, 0, 0, 10.38, 20, 20))
	assert.Len(t, take(t, apart, "wall", .4).Sites, 1, "a gap that is meant")
	assert.Len(t, take(t, apart, "gap", .3).Sites, 1, "a gap that is meant")
	for _, thin := range []float64{.001, .019} {
		assert.Len(t, take(t, box(0, 0, 0, thin, 20, 20), "wall", .4).Sites, 1, "a sheet is no gap")
	}
}

// Far from the origin a wall reads to what its corners can tell, and farther out nothing is told.
func TestWallsFarFromTheOrigin(t *testing.T) {
	for _, far := range []float64{1e3, 1e4, 1e5, 2e5} {
		r := take(t, shapes.Move(shapes.Fin(.35), shapes.Vec{X: far, Y: far}), "wall", .38)
		require.Len(t, r.Sites, 1, "%g mm away", far)
		assert.InDelta(t, .35, value(t, "wall", r.Sites[0], "thickness"), far*0x1p-22+1e-4, "%g mm away", far)
	}
	for _, name := range []string{"wall", "gap"} {
		r := take(t, shapes.Move(shapes.Fin(.35), shapes.Vec{X: 1e6, Y: 1e6}), name, .38)
		assert.Contains(t, r.Undecided, "1e+06 mm from the origin, where the file keeps corners only to 0.12 mm")
		assert.Contains(t, r.Cure, "move it to the origin")
	}
}

// A sheet inside a body that has lost a side is no wall, though the way out through that side is
// clear: two of three directions say so.
func TestWallsInsideABodyWithAHole(t *testing.T) {
	body := shapes.Cube(20)
	open := &mesh.Triangles{}
	for i := 0; i < len(body.Corners); i += 3 {
		if c := body.Corners[i : i+3]; c[0][0] < 20 || c[1][0] < 20 || c[2][0] < 20 {
			open.Corners = append(open.Corners, c...)
		}
	}
	require.Equal(t, 10, open.Count())
	for _, v := range variants {
		soup := v.change(shapes.Join(open, box(10, 5, 5, 10.3, 15, 15)))
		assert.Empty(t, take(t, soup, "wall").Sites, v.name)
	}
}
