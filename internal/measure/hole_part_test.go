package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// bend is a part of a circle in n sides, from one angle to another.
func bend(r, from, to float64, n int) (p shapes.Polygon) {
	for i := range n + 1 {
		a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		p = append(p, [2]float64{r * math.Cos(a), r * math.Sin(a)})
	}
	return p
}

// teardrop is round below in n sides; above, two tangents rise at an angle and meet in a point,
// or in a flat at a height above the middle.
func teardrop(r, rise, flat float64, n int) shapes.Polygon {
	p := bend(r, 90+rise, 450-rise, n)
	tip := r / math.Cos(rise*math.Pi/180)
	if flat >= tip {
		return append(p, [2]float64{0, tip})
	}
	half := (tip - flat) / math.Tan(rise*math.Pi/180)
	return append(p, [2]float64{half, flat}, [2]float64{-half, flat})
}

// dropped is a plate with holes of given outlines through it, each around the middle of the
// plate.
func dropped(p ...shapes.Polygon) *mesh.Triangles {
	return shapes.Prism(shapes.Rect(-20, -20, 20, 20), 0, 6, p...)
}

// gothic is an arch of two arcs of twice the radius over a half circle.
func gothic(r float64) shapes.Polygon {
	p := bend(r, 180, 360, 24)
	for _, v := range bend(2*r, 0, 60, 16)[1:] {
		p = append(p, [2]float64{v[0] - r, v[1]})
	}
	for _, v := range bend(2*r, 120, 180, 16)[1:16] {
		p = append(p, [2]float64{v[0] + r, v[1]})
	}
	return p
}

// keyhole is round with a slot upwards that ends at a height.
func keyhole(r, half, top float64) shapes.Polygon {
	a := math.Asin(half/r) * 180 / math.Pi
	return append(bend(r, 90+a, 450-a, 60), [2]float64{half, top}, [2]float64{-half, top})
}

// squareTop is a circle in n sides with a square of its radius, turned by 45 deg, laid over it:
// small steps stand where the corners of the square are.
func squareTop(r float64, n int) (p shapes.Polygon) {
	step := 360 / float64(n)
	first, last := math.Floor(45/step), math.Ceil(135/step)
	low := func(deg float64) float64 { // the side of the polygon that crosses a direction
		mid := (math.Floor(deg/step) + 0.5) * step
		return r * math.Cos(step/2*math.Pi/180) / math.Cos((deg-mid)*math.Pi/180)
	}
	at := func(d, deg float64) [2]float64 {
		return [2]float64{d * math.Cos(deg*math.Pi/180), d * math.Sin(deg*math.Pi/180)}
	}
	p = append(p, at(r*math.Sqrt2, 90), at(r, 135), at(low(135), 135))
	for k := last; k <= first+float64(n); k++ {
		p = append(p, at(r, k*step))
	}
	return append(p, at(low(45), 45), at(r, 45))
}

// flatBore is a circle with a flat, for a shaft that has one, at a height above its middle.
func flatBore(r, flat float64) shapes.Polygon {
	a := math.Acos(flat/r) * 180 / math.Pi
	return bend(r, 90+a, 450-a, 40)
}

// partCases are holes that are round only in part, and what looks like one.
func partCases() []holeCase {
	drop := func(d, n float64) []HoleSite {
		return []HoleSite{{d * math.Cos(math.Pi/n), 6, 0, int(math.Round(n * 3 / 4)), false}}
	}
	lying := func(p shapes.Polygon) *mesh.Triangles { return shapes.Turn(dropped(p), shapes.X, 90) }
	sharp := teardrop(1.5, 45, 9, 24)
	down := drop(3, 32)
	down[0].Lean = 90
	twoHigh := shapes.Join(dropped(sharp), shapes.Move(dropped(sharp), mesh.Vec{Z: 6}))
	high := drop(3, 32)
	high[0].Depth = 12
	short := shapes.Prism(shapes.Rect(-10, -10, 10, 4), 0, 6, sharp)
	return []holeCase{
		{"teardrop", dropped(sharp), drop(3, 32)},
		{"teardrop, lying", lying(sharp), down},
		{"teardrop, cut", dropped(teardrop(1.5, 45, 1.6, 24)), drop(3, 32)},
		{"teardrop, cut just above the circle, lying", lying(teardrop(1.5, 45, 1.5, 24)), down},
		{"teardrop, cut within the circle", dropped(teardrop(1.5, 45, 1.36, 24)), []HoleSite{{2.72, 6, 0, 24, false}}},
		{"teardrop of an octagon", dropped(teardrop(4, 45, 9, 6)), drop(8, 8)},
		{"teardrop, 200 sides", dropped(teardrop(9, 45, 90, 150)), drop(18, 200)},
		{"teardrop, steep", dropped(teardrop(3, 60, 99, 32)), []HoleSite{{6 * math.Cos(math.Pi/48), 6, 0, 32, false}}},
		{"teardrop, too steep", dropped(teardrop(3, 70, 99, 32)), nil},
		{"teardrops on each other", twoHigh, high},
		{"teardrop open at the top", shapes.Prism(opened(1.5), 0, 6), nil},
		{"teardrop near a face", short, drop(3, 32)},
		{"circle with a square over it, 30 sides", dropped(squareTop(3, 30)), []HoleSite{{6 * math.Cos(math.Pi/30), 6, 0, 23, false}}},
		{"hexagon with a point", dropped(teardrop(3, 60, 99, 4)), nil},
		{"gothic arch", dropped(gothic(3)), nil},
		{"half-round arch", dropped(append(bend(3, 180, 360, 24), [2]float64{3, 4}, [2]float64{-3, 4})), nil},
		{"keyhole, long", dropped(keyhole(3, 1.8, 9)), nil},
		{"keyhole, short", dropped(keyhole(3, 1.8, 5)), []HoleSite{{6 * math.Cos(math.Pi*286.26/360/60), 6, 0, 60, false}}},
		{"flat for a shaft", dropped(flatBore(2.5, 2)), []HoleSite{{4, 6, 0, 40, false}}},
		{"flat for a shaft, at half the radius", dropped(flatBore(2.5, 1.26)), []HoleSite{{2.52, 6, 0, 40, false}}},
		{"flat for a shaft, past half the radius", dropped(flatBore(2.5, 1.1)), nil},
		{"slot, nearly round", dropped(slotted(3, 0.6)), nil},
	}
}

// opened is a plate whose teardrop ends in a slit 1 mm wide at the edge.
func opened(r float64) shapes.Polygon {
	p := bend(r, 135, 405, 24)
	up := r*math.Sqrt2 - 0.5
	p = append(p, [2]float64{0.5, up}, [2]float64{0.5, 8}, [2]float64{8, 8}, [2]float64{8, -8}, [2]float64{-8, -8}, [2]float64{-8, 8}, [2]float64{-0.5, 8}, [2]float64{-0.5, up})
	return p
}

// A hole grows with the drop that it is drawn as, and is never wider than the circle of it.
func TestTeardropsGrowWithTheDrill(t *testing.T) {
	before := 0.0
	for d := 0.5; d < 14; d += 0.7 {
		for _, flat := range []float64{99, 0.55 * d} {
			got := Hole.Model(new(take(t, dropped(teardrop(d/2, 45, flat, 18)), "hole")))
			require.Equal(t, 1, got.Sites, "%g, %g", d, flat)
			assert.InDelta(t, within(d, 24), got.Diameter, 0.002)
			assert.Greater(t, got.Diameter, before)
		}
		before = within(d, 24)
	}
}

// The lower the flat in a hole, the thinner the pin, with no jump where it is no longer taken
// for a side of a polygon; below half the radius there is no hole.
func TestTheFlatOfAHoleMovesItsWidth(t *testing.T) {
	for flat := 2.49; flat > 1.26; flat -= 0.03 {
		got := Hole.Model(new(take(t, dropped(flatBore(2.5, flat)), "hole")))
		require.Equal(t, 1, got.Sites, "%g", flat)
		round := flatBore(2.5, flat)
		side := math.Hypot(round[0][0]-round[1][0], round[0][1]-round[1][1])
		assert.InDelta(t, 2*min(flat, math.Sqrt(2.5*2.5-side*side/4)), got.Diameter, 0.002, "%g", flat)
	}
}

// Small steps between the round part and its point, as from a square laid over a circle of few
// sides, hide no hole.
func TestHolesWithStepsBesideTheirPoint(t *testing.T) {
	for _, n := range []int{9, 10, 12, 14, 18, 20, 30, 50} {
		got := Hole.Model(new(take(t, dropped(squareTop(3, n)), "hole")))
		require.Equal(t, 1, got.Sites, "%d sides", n)
		assert.InEpsilon(t, within(6, n), got.Diameter, 0.006, "%d sides", n) // the steps pull at the circle
	}
}

// The round part may be cut in any triangles, also within its flats.
func TestTeardropsOfManyTriangles(t *testing.T) {
	soup := dropped(teardrop(1.5, 45, 1.6, 24))
	for range 3 {
		soup = shapes.Split4(soup)
		got := Hole.Model(new(take(t, soup, "hole")))
		assert.Equal(t, 1, got.Sites)
		assert.InDelta(t, within(3, 32), got.Diameter, 0.002)
	}
}
