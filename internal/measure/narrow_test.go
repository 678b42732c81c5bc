package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// What the cells of a layer hold only a piece of, since it is narrower than they are or hardly wider: each of
// these was once judged by the way it lay among the cells.

// turnsAskew are turns about z at which a narrow strip lies among the cells in many ways.
var turnsAskew = []float64{0, 7.3, 14.6, 21.9, 29.2, 36.5, 45, 58.4, 73}

// slat is a bar with a sharp lower edge, sloped by so many degrees from level on one side, that runs from a post on into
// the air or to a second post.
func slat(slope float64, both bool) *mesh.Triangles {
	rise := 6 * math.Tan(slope*math.Pi/180)
	bar := shapes.ExtrudeY(shapes.Polygon{{0, 8}, {6, 8 + rise}, {6, 11 + rise}, {0, 11}}, 3, 33)
	posts := []*mesh.Triangles{bar, shapes.Box(mesh.Vec{X: -5}, mesh.Vec{X: 11, Y: 4, Z: 30})}
	if both {
		posts = append(posts, shapes.Box(mesh.Vec{X: -5, Y: 32}, mesh.Vec{X: 11, Y: 36, Z: 30}))
	}
	return shapes.Join(posts...)
}

// The first layer of a slat is a strip a cell wide. Lying askew it was no bridge, but an arm that reached out as
// far as its middle.
func TestSharpLowerEdgeIsABridge(t *testing.T) {
	for _, turn := range turnsAskew {
		for _, slope := range []float64{40, 45} {
			held := shapes.Turn(slat(slope, true), shapes.Z, turn)
			for _, tilt := range []float64{wholeLineTilt, 68.2} {
				assert.LessOrEqual(t, worst(t, "overhang", take(t, held, "overhang", tilt), "reach"), 1.0, "turned %v, slope %v", turn, slope)
				sites := take(t, held, "bridge", tilt, 2).Sites
				require.Len(t, sites, 1, "turned %v, slope %v", turn, slope)
				assert.InDelta(t, 27, value(t, "bridge", sites[0], "span"), 1.5)
			}
			free := take(t, shapes.Turn(slat(slope, false), shapes.Z, turn), "overhang", wholeLineTilt)
			assert.Greater(t, worst(t, "overhang", free, "reach"), 20.0, "turned %v, slope %v: nothing holds its end", turn, slope)
		}
	}
}

// The sharp end of a wedge that stands on its side holds cells here and there, which are no pins and do not tip over.
func TestSharpEndOfAWedgeIsPartOfIt(t *testing.T) {
	for _, turn := range turnsAskew {
		for _, angle := range []float64{5, 8, 11, 15} {
			thick := 30 * math.Tan(angle*math.Pi/180)
			wedge := shapes.Turn(shapes.Prism(shapes.Polygon{{0, 0}, {30, 0}, {0, thick}}, 0, 8), shapes.Z, turn)
			assert.Len(t, take(t, wedge, "stability").Sites, 1, "turned %v, %v deg", turn, angle)
			for _, s := range take(t, wedge, "column").Sites {
				assert.Greater(t, value(t, "column", s, "width"), 0.4, "turned %v, %v deg", turn, angle)
			}
		}
	}
}

// A pin as narrow beside it stands for itself.
func TestNarrowPinBesideAWedge(t *testing.T) {
	wedge := shapes.Prism(shapes.Polygon{{0, 0}, {30, 0}, {0, 4}}, 0, 8)
	both := shapes.Join(wedge, shapes.Box(mesh.Vec{X: 20, Y: 10}, mesh.Vec{X: 20.15, Y: 10.15, Z: 8}))
	for _, turn := range turnsAskew {
		soup := shapes.Turn(both, shapes.Z, turn)
		assert.Len(t, take(t, soup, "stability").Sites, 2, "turned %v", turn)
		sites := take(t, soup, "column").Sites
		require.Len(t, sites, 1, "turned %v", turn)
		assert.InDelta(t, 0.15, value(t, "column", sites[0], "width"), 0.01)
	}
}

// A cross of bars in a frame is two bridges, whichever way it lies. What the lines of the one left along its sides
// once joined both ends of the other, so that nothing ran along that.
func TestCrossOfBarsIsBridgedHoweverItLies(t *testing.T) {
	frame := shapes.Prism(shapes.Polygon{{-16, -16}, {16, -16}, {16, 16}, {-16, 16}}, 0, 20, shapes.Polygon{{-13, -13}, {-13, 13}, {13, 13}, {13, -13}})
	for _, wide := range []float64{1, 2, 4, 7} {
		bar := shapes.Box(mesh.Vec{X: -14, Y: -wide / 2, Z: 10}, mesh.Vec{X: 14, Y: wide / 2, Z: 13})
		cross := shapes.Join(frame, bar, shapes.Turn(bar, shapes.Z, 90))
		for _, turn := range turnsAskew {
			soup := shapes.Turn(cross, shapes.Z, turn)
			assert.LessOrEqual(t, worst(t, "overhang", take(t, soup, "overhang", 68.2), "reach"), 1.0, "%v wide, turned %v", wide, turn)
			sites := take(t, soup, "bridge", 68.2, 2).Sites
			require.Len(t, sites, 1)
			assert.InDelta(t, 26, value(t, "bridge", sites[0], "span"), 0.5, "%v wide, turned %v", wide, turn)
		}
	}
}

// A wide ring under a ceiling around a hole: lines beside the hole reach from wall to wall, those that meet it end
// in the air at its rim. No line runs along a round rim, which once held them.
func TestRingAroundAHoleHangsAtItsRim(t *testing.T) {
	for _, turn := range turnsAskew {
		ring := shapes.Turn(shapes.Recess(18.5, 6.5, 72), shapes.Z, turn)
		assert.InDelta(t, 6.5, worst(t, "overhang", take(t, ring, "overhang", 68.2), "reach"), 0.3, "turned %v", turn)
	}
}
