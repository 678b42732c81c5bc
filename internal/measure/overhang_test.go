package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// cell is the tolerance of a length taken on the layers: one cell either way, and
// the half diagonal of one where the outline lies askew.
const cell = 0.15

func TestOverhangOfExactShapes(t *testing.T) {
	cases := []struct {
		name  string
		soup  *mesh.Triangles
		reach []float64 // of each site, in any order
		angle float64
		area  float64 // of all sites
	}{
		{"T", shapes.T(), []float64{20, 20}, 90, 400},
		{"T of touching boxes", shapes.TTouching(), []float64{20, 20}, 90, 400},
		{"T of overlapping boxes", shapes.TOverlapping(), []float64{20, 20}, 90, 400},
		{"T upside down", shapes.OnBed(shapes.Turn(shapes.T(), shapes.X, 180)), nil, 0, 0},
		{"arm at 45", shapes.LeaningArm(45, 15), nil, 0, 0},
		{"arm at 44", shapes.LeaningArm(44, 15), nil, 0, 0},
		{"arm at 60", shapes.LeaningArm(60, 15), []float64{15}, 60, 150},
		{"cube on an edge", shapes.CubeOnEdge(20), nil, 0, 0},
		{"lip of 0.4 mm", shapes.Lip(0.4), nil, 0, 0},
		{"lip of 3 mm", shapes.Lip(3), []float64{3}, 90, -1},
		{"stacked cubes", shapes.StackedCubes(), nil, 0, 0},
		{"table upside down", shapes.OnBed(shapes.Turn(shapes.Table(), shapes.X, 180)), nil, 0, 0},
		{"portal", shapes.Portal(30), nil, 0, 0},
	}
	for _, c := range cases {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				r := take(t, v.change(c.soup), "overhang")
				reach := values(t, "overhang", r, "reach")
				require.Len(t, reach, len(c.reach), "reach %v", reach)
				for i := range reach {
					assert.InDelta(t, c.reach[i], reach[i], cell)
					assert.InDelta(t, c.angle, value(t, "overhang", r.Sites[i], "angle"), 0.01)
				}
				if c.area >= 0 {
					assert.InDelta(t, c.area, r.Model[1], 0.02*c.area+0.01)
				}
			})
		}
	}
}

func TestTableOnItsLegs(t *testing.T) {
	for _, soup := range []*mesh.Triangles{shapes.Table(), shapes.TableTouching()} {
		r := take(t, soup, "overhang", wholeLineTilt)
		require.Len(t, r.Sites, 1)
		assert.Greater(t, worst(t, "overhang", r, "reach"), 5.0)
		box := mesh.Weld(soup).Box()
		middle := box.Min.Add(box.Max).Scale(0.5)
		assert.Less(t, math.Hypot(r.Sites[0].At.X-middle.X, r.Sites[0].At.Y-middle.Y), 1.0, "the middle of the top is what fails")
		assert.Empty(t, take(t, soup, "island").Sites)
	}
}

// A ceiling ring is carried all round by its outer edge: nothing of it is farther
// from that than the ring is wide.
func TestRecessSeenFromBelow(t *testing.T) {
	r := take(t, shapes.Recess(6, 2.5, 96), "overhang")
	assert.LessOrEqual(t, worst(t, "overhang", r, "ledge"), 3.5+cell)
	assert.LessOrEqual(t, worst(t, "overhang", r, "reach"), 0.5, "straight bridge lines cross beside the hole")
	b := take(t, shapes.Recess(6, 2.5, 96), "bridge")
	assert.LessOrEqual(t, worst(t, "bridge", b, "span"), 2*math.Sqrt(6*6-2.5*2.5)+cell, "no bridge line is longer than the chord that grazes the hole")
}

func TestThreadFlanks(t *testing.T) {
	r := take(t, shapes.ThreadedRod(8, 1, 6, 48), "overhang", 45)
	assert.LessOrEqual(t, worst(t, "overhang", r, "reach"), 1+cell)
}

// Area of a sphere past an angle a from vertical, 2 pi r^2 (1 - sin a), computed;
// seen from above that band is a disc of radius r cos a less the footprint.
func TestBallLowerHalf(t *testing.T) {
	const r = 15.0
	ball := shapes.Ball(r, 180)
	o := take(t, ball, "overhang", 45)
	require.Len(t, o.Sites, 1)
	const cut = 1.5 * .2 // the bed carries layers 0 and 1; what hangs begins past the cut of layer 1
	foot := math.Pi * cut * (2*r - cut)
	// bands of facets two degrees tall change tilt in steps, so the limit is met a degree late
	late := math.Pow(math.Cos(46*math.Pi/180), 2)
	assert.InDelta(t, math.Pi*r*r*late-foot, o.Model[1], 0.02*math.Pi*r*r*late)
	assert.InDelta(t, r*math.Cos(math.Pi/4)-math.Sqrt(foot/math.Pi), worst(t, "overhang", o, "reach"), 0.3)
	assert.Empty(t, take(t, ball, "bridge").Sites, "a crescent round a foot is a ledge, never a bridge along its length")
}

// A face drawn at exactly the limit passes; a degree more does not.
func TestOverhangAtTheLimit(t *testing.T) {
	arm := func(lean float64) *mesh.Triangles { return shapes.LeaningArm(lean, 12) }
	for _, limit := range []float64{45, 50, 60} {
		assert.Empty(t, take(t, arm(limit-1), "overhang", limit).Sites)
		assert.Empty(t, take(t, arm(limit), "overhang", limit).Sites)
		r := take(t, arm(limit+1), "overhang", limit)
		require.Len(t, r.Sites, 1)
		assert.InDelta(t, limit+1, value(t, "overhang", r.Sites[0], "angle"), 0.01)
		assert.InDelta(t, 12, value(t, "overhang", r.Sites[0], "reach"), 0.3)
	}
}
