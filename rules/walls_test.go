package rules_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// found lists the rules of standard over a measure that find something on a solid, worse than a note.
func found(t *testing.T, name string, soup *mesh.Triangles) (ids []string) {
	t.Helper()
	c := using(t, "standard")
	body := measure.NewBody(mesh.Weld(soup))
	for _, r := range c.Rules() {
		if r.Measure != name || r.Level.Rank() > finding.Warning.Rank() {
			continue
		}
		got, err := body.Measure(context.Background(), measure.AsIs, c.Process, measure.Options{}, []measure.Request{{Measure: name, Params: r.Asks()[0].Params}})
		require.NoError(t, err)
		for _, s := range got[0].Sites {
			holds, err := r.Match(s.Values)
			require.NoError(t, err)
			if holds && !slices.Contains(ids, r.ID) {
				ids = append(ids, r.ID)
			}
		}
	}
	return ids
}

// Facets take a little from a wall drawn a line thick around a curve; it prints all the
// same, and one that is drawn thinner does not.
func TestWallsOfOneLineAroundACurve(t *testing.T) {
	ear := func(x, thick float64) *mesh.Triangles {
		return shapes.Move(shapes.Tube(3, 3-thick, 20, 24), shapes.Vec{X: x})
	}
	shell := func(thick float64) *mesh.Triangles {
		return shapes.Join(shapes.Tube(15, 15-thick, 20, 96), ear(-17.9+thick, thick), ear(17.9-thick, thick))
	}
	for _, n := range []int{16, 24, 48} {
		assert.Empty(t, found(t, "wall", shapes.Tube(3, 2.6, 20, n)), "%d sides", n)
		assert.Contains(t, found(t, "wall", shapes.Tube(3, 2.65, 20, n)), "min-wall", "%d sides", n)
	}
	assert.Empty(t, found(t, "wall", shell(.4)))
	assert.Contains(t, found(t, "wall", shell(.35)), "min-wall")
}

// A sheet that leans is cut by each layer at its thickness over the cosine of the lean,
// and meets a layer where that over the sine is as much as the layer is high.
func TestThinSheetsThatLean(t *testing.T) {
	sheet := func(thick, deg float64) *mesh.Triangles {
		return shapes.Turn(shapes.Box(shapes.Vec{}, shapes.Vec{X: thick, Y: 30, Z: 30}), shapes.Y, deg)
	}
	for _, thick := range []float64{.1, .15, .25, .3, .35, .37} {
		for deg := 0.; deg <= 90; deg += 3 {
			lean := deg * math.Pi / 180
			got, what := found(t, "wall", sheet(thick, deg)), fmt.Sprintf("%g thick, leaning %g deg", thick, deg)
			wall := thick/math.Cos(lean) < .38
			assert.Equal(t, wall, slices.Contains(got, "min-wall"), what)
			if !wall { // the floor yields to the wall
				assert.Equal(t, thick/math.Sin(lean) < .2, slices.Contains(got, "min-floor"), what)
			}
		}
	}
}
