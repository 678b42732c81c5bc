package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func TestPositionOfExactShapes(t *testing.T) {
	cube := func(x, y, z float64) *mesh.Triangles { return shapes.Move(shapes.Cube(20), mesh.Vec{X: x, Y: y, Z: z}) }
	// Four bars around a square: no straight strip runs between them, but gaps do.
	bar := func(x0, y0, x1, y1 float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x0, Y: y0}, mesh.Vec{X: x1, Y: y1, Z: 5})
	}
	for name, c := range map[string]struct {
		soup *mesh.Triangles
		want PositionValues
	}{
		"cube at the origin":  {cube(-10, -10, 0), PositionValues{Parts: 1}},
		"cube beside":         {cube(20, 30, 0), PositionValues{Off: 50, X: 30, Y: 40, Parts: 1}},
		"cube in the air":     {cube(-10, -10, 12.5), PositionValues{Lift: 12.5, Parts: 1}},
		"cube below":          {cube(-10, -10, -3), PositionValues{Lift: -3, Parts: 1}},
		"two, 100 apart":      {shapes.Join(cube(-70, -10, 0), cube(50, -10, 0)), PositionValues{Parts: 2, Apart: 100}},
		"two, apart both":     {shapes.Join(cube(0, 0, 0), cube(50, 60, 0)), PositionValues{Off: math.Hypot(35, 40), X: 35, Y: 40, Parts: 2, Apart: 50}},
		"three in a row":      {shapes.Join(cube(0, 0, 0), cube(30, 0, 0), cube(65, 0, 0)), PositionValues{Off: math.Hypot(42.5, 10), X: 42.5, Y: 10, Parts: 3, Apart: 15}},
		"one above the other": {shapes.Join(cube(-10, -10, 0), cube(-10, -10, 50)), PositionValues{Parts: 1}},
		"side by side":        {shapes.Join(cube(-20, -10, 0), cube(0, -10, 0)), PositionValues{Parts: 1}},
		"hollow":              {shapes.Move(shapes.HollowBox(20, 2), mesh.Vec{X: -10, Y: -10}), PositionValues{Parts: 1}},
		"around a square": {shapes.Join(bar(-30, -30, 20, -25), bar(25, -30, 30, 20), bar(-20, 25, 30, 30), bar(-30, -20, -25, 30)),
			PositionValues{Parts: 4, Apart: 5}},
	} {
		t.Run(name, func(t *testing.T) {
			r := take(t, c.soup, "position")
			require.Len(t, r.Sites, 1)
			assert.Equal(t, r.Model, r.Sites[0].Values)
			got := Position.Model(&r)
			assert.InDelta(t, c.want.Lift, got.Lift, 1e-5)
			assert.InDelta(t, c.want.Off, got.Off, 1e-5)
			assert.InDelta(t, c.want.X, got.X, 1e-5)
			assert.InDelta(t, c.want.Y, got.Y, 1e-5)
			assert.Equal(t, c.want.Parts, got.Parts)
			assert.InDelta(t, c.want.Apart, got.Apart, 1e-5)
		})
	}
}

// The position is that in the file: a turned or dropped model has the same.
func TestPositionIsThatOfTheFile(t *testing.T) {
	soup := shapes.Move(shapes.T(), mesh.Vec{X: 40, Z: 7})
	half := Pose{M: [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}}
	assert.Equal(t, take(t, soup, "position"), takePosed(t, soup, half, "position"))
	assert.Equal(t, Position.Model(&Result{}), PositionValues{})
	empty := take(t, &mesh.Triangles{}, "position")
	assert.Empty(t, empty.Sites)
}

// Moving one of two parts away never makes the gap smaller.
func TestGapGrowsAsPartsMoveApart(t *testing.T) {
	before := 0.0
	for d := 0.0; d < 60; d += 3 {
		r := take(t, shapes.Join(shapes.Cube(20), shapes.Move(shapes.Cube(20), mesh.Vec{X: d, Y: d / 2})), "position")
		got := Position.Model(&r).Apart
		assert.GreaterOrEqual(t, got, before)
		before = got
	}
	assert.Greater(t, before, 30.0)
}
