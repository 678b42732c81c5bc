package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// Twins of real parts that were once judged wrongly, each made here and named for
// what was wrong.

// arc returns points of a circle arc in the xz plane, from and to in degrees.
func arc(cx, cz, r, from, to float64, n int) shapes.Polygon {
	var p shapes.Polygon
	for i := range n + 1 {
		a := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		p = append(p, [2]float64{cx + r*math.Cos(a), cz + r*math.Sin(a)})
	}
	return p
}

// A plate with a rounded rim on a small foot: the rim is tilted little where it is
// outermost, but it came with the plate and carries nothing. Taking it for an anchor
// made a bridge of the ledge.
func TestRoundedRimIsNoAnchor(t *testing.T) {
	for _, fillet := range []float64{1, 3, 5} {
		profile := shapes.Polygon{{0, 0}, {5, 0}, {5, 6}}
		profile = append(profile, arc(14, 6+fillet, fillet, -90, 0, 12)...)
		profile = append(profile, [2]float64{14 + fillet, 14}, [2]float64{0, 14})
		soup := shapes.Revolve(profile, 96)
		for _, v := range variants {
			r := take(t, v.change(soup), "overhang", wholeLineTilt)
			require.Len(t, r.Sites, 1, "fillet %g, %s", fillet, v.name)
			reach := value(t, "overhang", r.Sites[0], "reach")
			assert.InDelta(t, 14+0.45*fillet-5, reach, 0.55, "fillet %g, %s", fillet, v.name)
			assert.Empty(t, take(t, v.change(soup), "bridge", wholeLineTilt, 2).Sites)
		}
	}
}

// A bar on the bed whose ends curve up steeply, with slightly rounded sides: the
// sides of the curved end hang with it, and must not make a bridge across it.
func TestRisingEndWithRoundedSides(t *testing.T) {
	const r, width, side = 10.0, 10.0, 0.5
	outline := func(inset float64) shapes.Polygon {
		p := shapes.Polygon{{0, inset}}
		p = append(p, arc(40, r+inset, r, -90, 0, 24)...)
		return append(p, [2]float64{40 + r, 20}, [2]float64{0, 20})
	}
	parts := []*mesh.Triangles{shapes.ExtrudeY(outline(0), side, width-side)}
	for i := 1; i <= 5; i++ {
		a := math.Pi / 2 * float64(i) / 5
		out, up := side*math.Sin(a), side*(1-math.Cos(a))
		parts = append(parts, shapes.ExtrudeY(outline(up), side-out, width-side+out))
	}
	soup := shapes.Join(parts...)
	o := take(t, soup, "overhang", wholeLineTilt)
	require.NotEmpty(t, o.Sites)
	assert.InDelta(t, r*math.Sin((90-wholeLineTilt)*math.Pi/180)-math.Sqrt(2*r*0.3), worst(t, "overhang", o, "reach"), 0.5)
	for _, s := range take(t, soup, "bridge", wholeLineTilt, 2).Sites {
		assert.Less(t, value(t, "bridge", s, "span"), 2.0, "nothing spans the end")
	}
}

// A dome over a tube, drawn in flat facets: between the facets tilted within the
// limit and those that do not lies a strip of new cells. Anchors were looked for in
// the layer below alone, so that the dome seemed to hang by its seam.
func TestFacetedDomeIsCarriedAllRound(t *testing.T) {
	outer, inner := arc(0, 0, 28, 0, 60, 14), arc(0, 0, 25, 60, 0, 14)
	top := 28 * math.Sin(60*math.Pi/180)
	profile := append(shapes.Polygon{}, outer...)
	profile = append(profile, [2]float64{6, top + 3}, [2]float64{6, 0}, [2]float64{8, 0}, [2]float64{8, 25 * math.Sin(64*math.Pi/180)})
	profile = append(profile, inner...)
	soup := shapes.Revolve(profile, 60)
	assert.LessOrEqual(t, worst(t, "overhang", take(t, soup, "overhang", wholeLineTilt), "reach"), 1.0)
	assert.LessOrEqual(t, worst(t, "overhang", take(t, soup, "overhang", 68.2), "reach"), 1.0)
}

// Lintels no wider than a few lines over a long gap, anchored at both ends.
func TestNarrowLintelIsOneBridge(t *testing.T) {
	soup := shapes.Join(
		shapes.Box(mesh.Vec{}, mesh.Vec{X: 80, Y: 10, Z: 4}),
		shapes.Box(mesh.Vec{}, mesh.Vec{X: 10, Y: 10, Z: 24}), shapes.Box(mesh.Vec{X: 70}, mesh.Vec{X: 80, Y: 10, Z: 24}),
		shapes.Box(mesh.Vec{X: 9, Y: 4, Z: 20}, mesh.Vec{X: 71, Y: 5.6, Z: 24}))
	for _, v := range variants {
		r := take(t, v.change(soup), "bridge", wholeLineTilt, 0.5)
		require.Len(t, r.Sites, 1, v.name)
		assert.InDelta(t, 60, value(t, "bridge", r.Sites[0], "span"), 0.3)
		assert.InDelta(t, 1.6, value(t, "bridge", r.Sites[0], "width"), 0.2)
		assert.Empty(t, take(t, v.change(soup), "overhang", wholeLineTilt).Sites)
	}
}

// Counterbores for screw heads, seen from below, with the hole going on above: rings
// that bridge lines cross beside the hole, many of them in one plate.
func TestPlateOfCounterbores(t *testing.T) {
	var soups []*mesh.Triangles
	for i := range 4 {
		soups = append(soups, shapes.Move(shapes.Recess(3.25, 1.7, 64), mesh.Vec{X: float64(i) * 40}))
	}
	soup := shapes.Join(soups...)
	assert.Empty(t, take(t, soup, "overhang", wholeLineTilt).Sites)
	for _, s := range take(t, soup, "bridge", wholeLineTilt, 0.5).Sites {
		assert.LessOrEqual(t, value(t, "bridge", s, "span"), 2*math.Sqrt(3.25*3.25-1.7*1.7)+cell)
	}
}

// Specks and shallow letters in an underside join at once and are nothing.
func TestLettersOnTheUnderside(t *testing.T) {
	soups := []*mesh.Triangles{shapes.Box(mesh.Vec{Z: 0.4}, mesh.Vec{X: 40, Y: 20, Z: 10}), shapes.Box(mesh.Vec{}, mesh.Vec{X: 40, Y: 4, Z: 1}), shapes.Box(mesh.Vec{Y: 16}, mesh.Vec{X: 40, Y: 20, Z: 1})}
	for i := range 8 {
		x := 2 + 4.5*float64(i)
		soups = append(soups, shapes.Box(mesh.Vec{X: x, Y: 6, Z: 0}, mesh.Vec{X: x + 0.8, Y: 14, Z: 1}))
	}
	soup := shapes.Join(soups...)
	assert.Empty(t, take(t, soup, "island").Sites)
	assert.LessOrEqual(t, worst(t, "overhang", take(t, soup, "overhang", wholeLineTilt), "reach"), 2.5)
}

// Several bodies on one plate stand each for itself.
func TestBodiesOnOnePlate(t *testing.T) {
	soup := shapes.Join(shapes.T(), shapes.Move(shapes.Portal(30), mesh.Vec{X: 80}), shapes.Move(shapes.Cube(20), mesh.Vec{X: 160}))
	assert.Len(t, take(t, soup, "overhang").Sites, 2, "the arms of the T")
	assert.Len(t, take(t, soup, "bridge").Sites, 1, "the deck of the portal")
	assert.Empty(t, take(t, soup, "island").Sites)
	assert.Equal(t, 4.0, take(t, soup, "base").Model[4], "T, two piers, cube")
}
