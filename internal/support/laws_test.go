package support

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestPlanDoesNotDependOnTheMesh: moved, cut finer, shuffled or turned about the
// vertical, a model needs the same support.
func TestPlanDoesNotDependOnTheMesh(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{"T": shapes.T(), "table": shapes.Table(), "figure": shapes.Figure(), "hook": shapes.Hook()} {
		want := planned(t, solid)
		require.NotEmpty(t, want, name)
		for change, changed := range map[string]*mesh.Triangles{
			"moved":    shapes.Move(solid, shapes.Vec{X: 12.3, Y: -4.5}),
			"split":    shapes.Split4(solid),
			"shuffled": shapes.Shuffle(solid, 5),
			"turned":   shapes.Turn(solid, shapes.Z, 90),
		} {
			got := planned(t, changed)
			require.Len(t, got, len(want), "%s %s", name, change)
			assert.Equal(t, KindOf(want), KindOf(got), "%s %s", name, change)
			a, b := Sum(want, plastic), Sum(got, plastic)
			assert.InEpsilon(t, a.Volume, b.Volume, 0.02, "%s %s", name, change)
			assert.InEpsilon(t, a.Contact, b.Contact, 0.02, "%s %s", name, change)
			assert.InEpsilon(t, a.Minutes, b.Minutes, 0.02, "%s %s", name, change)
		}
	}
}

func planned(t *testing.T, solid *mesh.Triangles) []Structure {
	t.Helper()
	places, _ := hanging(t, solid)
	return Plan(places, plastic)
}

// TestTwiceAsLarge: air grows with the cube, contact with the square.
func TestTwiceAsLarge(t *testing.T) {
	a, b := planned(t, shapes.T()), planned(t, shapes.Scale(shapes.T(), 2))
	require.Len(t, b, len(a))
	assert.InEpsilon(t, 8*Sum(a, plastic).Volume, Sum(b, plastic).Volume, 0.02)
	assert.InEpsilon(t, 4*Sum(a, plastic).Contact, Sum(b, plastic).Contact, 0.02)
}

// TestPlanInAnotherPose: a T that lies on its side in the file, stood up by the pose,
// is planned and looked at as the T that stands in its file.
func TestPlanInAnotherPose(t *testing.T) {
	lying := shapes.Turn(shapes.T(), shapes.X, 90)
	body := measure.NewBody(mesh.Weld(lying))
	back := [9]float64{1, 0, 0, 0, 0, 1, 0, -1, 0} // a quarter turn about x the other way
	results, err := body.Measure(context.Background(), measure.Pose{M: back}, plastic, measure.Options{}, []measure.Request{{Measure: "overhang"}})
	require.NoError(t, err)
	var places []Underside
	for _, s := range results[0].Sites {
		places = append(places, Underside{At: s.At, Below: *s.Below})
	}
	sites := Plan(places, plastic)
	require.Len(t, sites, 2)
	assert.InDelta(t, 1800, Sum(sites, plastic).Volume, 18)
	_, placement := body.Mesh.Posed(back)
	tree, err := body.Tree(context.Background(), 1)
	require.NoError(t, err)
	for _, s := range Inspect(sites, tree, placement, plastic) {
		assert.Contains(t, s.Reach, "open at the side")
		assert.Empty(t, s.Risk, "the bar is 10 thick")
		assert.InDelta(t, -30, s.At.Y, 0.3, "in the file's own frame the bar's underside is a wall")
	}
}

// TestNarrowWaysIn: a slot open at one end is reached from there only.
func TestNarrowWaysIn(t *testing.T) {
	slot := shapes.Blocks([]float64{0, 3, 27, 30}, []float64{0, 40, 43}, []float64{0, 20, 23},
		func(i, j, k int) bool { return k == 1 || j == 1 || i != 1 })
	places, body := hanging(t, slot)
	require.NotEmpty(t, places)
	tree, err := body.Tree(context.Background(), 1)
	require.NoError(t, err)
	deep := places[0]
	deep.Below.At = mesh.Vec{X: 15, Y: 35, Z: 20}
	site := Inspect(Plan([]Underside{deep}, plastic), tree, mesh.Placement{M: mesh.Identity}, plastic)[0]
	assert.Contains(t, site.Reach, "open at one side only")
}

// TestThinArm: what it carries is told to be thin, at the thickness it has.
func TestThinArm(t *testing.T) {
	shelf := func(thick float64) *mesh.Triangles {
		return shapes.ExtrudeY(shapes.Polygon{{0, 0}, {10, 0}, {10, 20}, {40, 20}, {40, 20 + thick}, {0, 20 + thick}}, 0, 10)
	}
	for thick, words := range map[float64]string{0.8: "only 0.80 mm thick", 1.5: "only 1.50 mm thick", 2: "", 5: ""} {
		places, body := hanging(t, shelf(thick))
		require.Len(t, places, 1)
		tree, err := body.Tree(context.Background(), 1)
		require.NoError(t, err)
		site := Inspect(Plan(places, plastic), tree, mesh.Placement{M: mesh.Identity}, plastic)[0]
		if words == "" {
			assert.Empty(t, site.Risk, "%v", thick)
			assert.Equal(t, Grid, site.Kind, "%v", thick)
			continue
		}
		assert.Contains(t, site.Risk, words)
		assert.Equal(t, Tree, site.Kind, "%v", thick)
	}
}

// TestThicknessIsMeasuredAboveTheAir, not inside of what begins just below: an arm over a
// block that ends 0.2 mm under it is as thick as it is.
func TestThicknessIsMeasuredAboveTheAir(t *testing.T) {
	arm := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {10, 0}, {10, 20}, {40, 20}, {40, 25}, {0, 25}}, 0, 10)
	solid := shapes.Join(arm, shapes.Box(shapes.Vec{X: 20, Y: 0, Z: 0}, shapes.Vec{X: 40, Y: 10, Z: 19.8}))
	tree, err := measure.NewBody(mesh.Weld(solid)).Tree(context.Background(), 1)
	require.NoError(t, err)
	place := mesh.Placement{M: mesh.Identity}
	site := Structure{Underside: Underside{Below: measure.Below{At: mesh.Vec{X: 30, Y: 5, Z: 20}}}}
	assert.InDelta(t, 5, thickness(&site, tree, place), 0.31)
}

// TestReachIsLookedForInTheAir: where a block fills most of the space below the point, the middle
// of the mean height lies within it, and is not closed in.
func TestReachIsLookedForInTheAir(t *testing.T) {
	arm := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {40, 0}, {40, 16}, {20, 16}, {20, 4}, {10, 4}, {10, 20}, {40, 20}, {40, 25}, {0, 25}}, 0, 10)
	tree, err := measure.NewBody(mesh.Weld(arm)).Tree(context.Background(), 1)
	require.NoError(t, err)
	place := mesh.Placement{M: mesh.Identity}
	for _, z := range []float64{20, 19.9, 20.1} { // the surface, and the layers beside it
		site := Structure{Underside: Underside{Below: measure.Below{At: mesh.Vec{X: 30, Y: 5, Z: z}}}, Drop: 9}
		assert.Equal(t, "open at the side: a tool gets in to take it off", reach(&site, tree, place))
	}
}

// TestSpecksGetNoSupport, which no tip of a branch would meet.
func TestSpecksGetNoSupport(t *testing.T) {
	place := func(side float64) Underside {
		return Underside{Below: measure.Below{Area: side * side, Air: side * side * 9, Tilt: 90, Box: mesh.Box{Min: mesh.Vec{Z: 9}, Max: mesh.Vec{X: side, Y: side, Z: 9}}}}
	}
	assert.Empty(t, Plan([]Underside{place(1.4)}, plastic))
	assert.Len(t, Plan([]Underside{place(1.5)}, plastic), 1)
}
