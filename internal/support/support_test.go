package support

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// plastic is a process with round figures.
var plastic = catalog.Process{Line: 0.4, Layer: 0.2, Nozzle: 0.4, Bridge: 10, Bed: [3]float64{220, 220, 250}, Density: 1.2, Flow: 5, Price: 20}

// hanging lists the places of a solid as it lies that hang by more than 2 mm, and its
// body.
func hanging(t *testing.T, solid *mesh.Triangles) ([]Underside, *measure.Body) {
	t.Helper()
	body := measure.NewBody(mesh.Weld(solid))
	results, err := body.Measure(context.Background(), measure.AsIs, plastic, measure.Options{},
		[]measure.Request{{Measure: "overhang"}, {Measure: "bridge"}, {Measure: "island"}})
	require.NoError(t, err)
	var places []Underside
	for _, r := range results {
		for _, s := range r.Sites {
			require.NotNil(t, s.Below)
			places = append(places, Underside{At: s.At, Below: *s.Below})
		}
	}
	return places, body
}

// TestT is the letter: 12000 mm3 of air down to the plate, 6000 on each side.
func TestT(t *testing.T) {
	places, _ := hanging(t, shapes.T())
	require.Len(t, places, 2)
	air := 0.0
	for _, p := range places {
		air += p.Below.Air
		assert.InDelta(t, 200, p.Below.Area, 2)
		assert.InDelta(t, 200, p.Below.OnBed, 2)
	}
	assert.InDelta(t, 12000, air, 120, "a cell along the edges is a hundredth of it")
	sites := Plan(places, plastic)
	require.Len(t, sites, 2)
	assert.Equal(t, Grid, KindOf(sites))
	for _, s := range sites {
		assert.False(t, s.OnModel)
		assert.InDelta(t, 30, s.Drop, 0.2)
		assert.InDelta(t, 100, s.Contact, 1, "half of what it carries")
		assert.InDelta(t, 6000*0.15, s.Volume, 9)
	}
	total := Sum(sites, plastic)
	assert.InDelta(t, 1800, total.Volume, 18)
	assert.InDelta(t, 1800.0/1000*1.2, total.Grams, 0.03)
	// 1800 mm3 at 5 mm3/s are six minutes, and 300 layers a second each five more.
	assert.InDelta(t, 6+5, total.Minutes, 0.2)
	assert.InDelta(t, total.Grams/1000*20, total.Cost, 1e-9)
}

// TestTwoTimesTheFlowIsHalfTheTime: the one thing that calibrates the minutes.
func TestTwoTimesTheFlowIsHalfTheTime(t *testing.T) {
	fast := plastic
	fast.Flow *= 2
	assert.InDelta(t, Minutes(600, plastic)/2, Minutes(600, fast), 1e-12)
	assert.InDelta(t, 2.0, Minutes(600, plastic), 1e-12)
	assert.InDelta(t, 0.72, Grams(600, plastic), 1e-12)
}

func TestPlasticOfABody(t *testing.T) {
	// A cube 20: 2400 mm2 of walls 0.8 thick are 1920, a fifth of the other 6080 is 1216.
	assert.InDelta(t, 1920+1216, Plastic(8000, 2400, plastic), 1e-9)
	assert.InDelta(t, 100, Plastic(100, 1000, plastic), 1e-9, "what is thin is all wall")
}

func TestKinds(t *testing.T) {
	flat := func(x, y, z float64) measure.Below {
		return measure.Below{Area: x * y, Air: x * y * z, OnBed: x * y, Tilt: 90, Box: mesh.Box{Min: mesh.Vec{Z: z}, Max: mesh.Vec{X: x, Y: y, Z: z}}}
	}
	sloped, round := flat(20, 20, 10), flat(20, 20, 10)
	sloped.Tilt = 60
	round.Box.Max.Z += 3
	for name, c := range map[string]struct {
		below measure.Below
		kind  Kind
		why   string
	}{
		"broad ceiling": {flat(40, 30, 20), Grid, "a flat underside 30.0 mm wide"},
		"arm":           {flat(25, 6, 42), Tree, "6.00 mm wide and 42.0 mm above"},
		"narrow strip":  {flat(30, 2, 3), Tree, "only 2.00 mm wide"},
		"slope":         {sloped, Tree, "slopes (60° from vertical)"},
		"round":         {round, Tree, "rounded or slopes (3.00 mm"},
	} {
		sites := Plan([]Underside{{Below: c.below}}, plastic)
		require.Len(t, sites, 1, name)
		assert.Equal(t, c.kind, sites[0].Kind, name)
		assert.Contains(t, sites[0].Why, c.why, name)
		share, touch := gridShare, gridTouch
		if c.kind == Tree {
			share, touch = treeShare, treeTouch
		}
		assert.InDelta(t, c.below.Air*share, sites[0].Volume, 1e-9, name)
		assert.InDelta(t, c.below.Area*touch, sites[0].Contact, 1e-9, name)
	}
	both := Plan([]Underside{{Below: flat(40, 30, 20)}, {Below: sloped}}, plastic)
	assert.Len(t, both, 2, "one above the other are two places")
	assert.Len(t, Plan([]Underside{{Below: flat(40, 30, 20)}, {Below: flat(39, 30, 20)}}, plastic), 1, "boxes in one place are one")
	sloped.Box.Min.X, sloped.Box.Max.X = 100, 120
	both = Plan([]Underside{{Below: flat(40, 30, 20)}, {Below: sloped}}, plastic)
	assert.Equal(t, Mixed, KindOf(both))
	assert.Equal(t, Kind(""), KindOf(nil))
}

// TestFootOnTheModel: what stands on the model scars it at both ends.
func TestFootOnTheModel(t *testing.T) {
	// A shelf over a base plate that reaches as far out as the shelf does.
	shelf := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {40, 0}, {40, 5}, {10, 5}, {10, 25}, {40, 25}, {40, 30}, {0, 30}}, 0, 20)
	places, body := hanging(t, shelf)
	require.Len(t, places, 1)
	sites := Plan(places, plastic)
	assert.True(t, sites[0].OnModel)
	assert.InDelta(t, 600*20, places[0].Below.Air, 120)
	assert.InDelta(t, 600, sites[0].Contact, 6, "half of 600 above and half of 600 below")
	tree, err := body.Tree(context.Background(), 1)
	require.NoError(t, err)
	seen := Inspect(sites, tree, mesh.Placement{M: mesh.Identity}, plastic)
	assert.Contains(t, seen[0].Reach, "open at the side")
	assert.Empty(t, seen[0].Risk)
}

// TestSupportInsideABox cannot be reached, and that under a thin roof may break it. A
// narrow thin roof gets a tree, a broad one keeps its grid.
func TestSupportInsideABox(t *testing.T) {
	for _, c := range []struct {
		side, thick float64
		kind        Kind
		risk        string
	}{
		{40, 3, Grid, ""}, {40, 2, Grid, ""},
		{40, 1, Grid, "only 1.00 mm thick"},
		{14, 1, Tree, "only 1.00 mm thick"},
	} {
		places, body := hanging(t, shapes.HollowBox(c.side, c.thick))
		require.NotEmpty(t, places)
		tree, err := body.Tree(context.Background(), 1)
		require.NoError(t, err)
		site := Inspect(Plan(places, plastic), tree, mesh.Placement{M: mesh.Identity}, plastic)[0]
		assert.Contains(t, site.Reach, "closed in on all sides")
		assert.True(t, site.OnModel)
		assert.Equal(t, c.kind, site.Kind, "%+v", c)
		assert.Contains(t, site.Risk, c.risk)
		assert.Equal(t, c.risk == "", site.Risk == "", site.Risk)
		share := gridShare
		if c.kind == Tree {
			share = treeShare
		}
		assert.InDelta(t, share*site.Below.Air, site.Volume, 1e-6)
		assert.InDelta(t, Grams(site.Volume, plastic), site.Grams, 1e-9)
	}
}

// TestIslands: what begins in the air is carried too, and a piece that nothing joins is
// told of.
func TestIslands(t *testing.T) {
	places, _ := hanging(t, shapes.Hook())
	var tip *Underside
	for i := range places {
		if math.Abs(places[i].Below.Box.Max.Z-15) < 0.3 {
			tip = &places[i]
		}
	}
	require.NotNil(t, tip, "the tip of the hook")
	assert.InDelta(t, 100*15, tip.Below.Air, 30)
	assert.False(t, tip.Below.Loose)

	places, body := hanging(t, shapes.FloatingCube())
	require.Len(t, places, 1)
	assert.True(t, places[0].Below.Loose)
	assert.InDelta(t, 400*5, places[0].Below.Air, 60)
	tree, err := body.Tree(context.Background(), 1)
	require.NoError(t, err)
	assert.Contains(t, Inspect(Plan(places, plastic), tree, mesh.Placement{M: mesh.Identity}, plastic)[0].Risk, "nothing joins this piece")
}
