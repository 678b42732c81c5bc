package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// A nub or a step lower than half of the first layer leaves the floor above it on the
// bed: the layer is pressed on. What is lower lifts the floor, and that is told.
func TestFlatDownToHalfTheFirstLayer(t *testing.T) {
	cases := []struct {
		name              string
		soup              *mesh.Triangles
		flat, floor, lift float64
	}{
		{"nub of 0.06", shapes.Join(box(0, 0, 0.06, 50, 50, 3), box(25, 25, 0, 26, 26, 1)), 2500, 0, 0},
		{"nub of 0.09", shapes.Join(box(0, 0, 0.09, 50, 50, 3), box(25, 25, 0, 26, 26, 1)), 2500, 0, 0},
		{"speck of 0.26", shapes.Join(box(0, 0, 0.26, 80, 75, 3), box(25, 25, 0, 26, 26, 1)), 1, 6000, 0.26},
		{"round", shapes.Ball(10, 180), 3.1, 0, 0},
	}
	for _, c := range cases {
		for _, v := range variants {
			m := Base.Model(ptr(take(t, v.change(c.soup), "base")))
			assert.InDelta(t, c.flat, m.Flat, 0.01*c.flat+0.5, "%s, %s: flat", c.name, v.name)
			assert.InDelta(t, c.floor, m.Floor, 0.01*c.floor+0.5, "%s, %s: floor", c.name, v.name)
			assert.InDelta(t, c.lift, m.Lift, 0.001, "%s, %s: lift", c.name, v.name)
		}
	}
}

// A plate askew by 0.4 deg lies on the bed as far as half of the first layer reaches.
func TestFlatOfAPlateAskew(t *testing.T) {
	plate := shapes.OnBed(shapes.Turn(box(0, 0, 0, 50, 50, 3), shapes.Y, 0.4))
	assert.InDelta(t, 50*0.1/math.Tan(0.4*math.Pi/180), Base.Model(ptr(take(t, plate, "base"))).Flat, 2)
}

func ptr[T any](v T) *T { return &v }

// A sheet that ends below the first cut is told to be one.
func TestSheetUnderHalfALayer(t *testing.T) {
	for _, height := range []float64{0.02, 0.09, 0.1} {
		for _, name := range []string{"base", "filling", "stability", "island"} {
			r := take(t, box(0, 0, 0, 30, 30, height), name)
			assert.Contains(t, r.Undecided, "no more than half a layer of 0.2 mm", "%g: %s", height, name)
		}
	}
	assert.Empty(t, take(t, box(0, 0, 0, 30, 30, 0.11), "base").Undecided)
}

// A sliver beside a body that it joins a little higher is no foot; one that nothing
// joins is.
func TestSliversThatJoinAreNoFeet(t *testing.T) {
	body := shapes.Join(box(0, 0, 0, 30, 30, 10), box(20, 0, 1.4, 32, 30, 10))
	sliver := box(31, 10, 0, 31.1, 10.1, 5)
	for _, s := range take(t, shapes.Join(body, sliver), "stability").Sites {
		assert.Greater(t, value(t, "stability", s, "area"), 800.0)
	}
	assert.Less(t, take(t, shapes.Join(box(0, 0, 0, 30, 30, 10), sliver), "stability").Model[0], 3.0, "it stands alone")
}

// The foot of a wall is as long as its diagonal, and as wide as the wall; where several
// feet hold a piece it is the hull of those that held it when it stood worst.
func TestLengthAndWidthOfAFoot(t *testing.T) {
	worst := Stability.Model(ptr(take(t, shapes.Clip(2.8, 18, 15, 2.9, 1.8), "stability")))
	assert.InDelta(t, math.Hypot(2.8, 18), worst.Length, 0.15)
	assert.InDelta(t, 2.8, worst.Width, 0.1)
	// A post 2 by 3 beside a body that it joins 20 mm up stands worst just before.
	joined := shapes.Join(box(0, 0, 0, 30, 30, 25), box(28, 0, 20, 40, 30, 25), box(37, 10, 0, 39, 13, 20.1))
	m := Stability.Model(ptr(take(t, joined, "stability")))
	assert.InDelta(t, math.Hypot(2, 3), m.Length, 0.15)
	assert.InDelta(t, 2, m.Width, 0.1)
}
