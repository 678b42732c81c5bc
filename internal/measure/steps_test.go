package measure

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// Stairs lean by run over rise, and not by their treads, which are level: what is layer for
// layer a slope within the limit is none that hangs.
func TestStairsLeanByRunOverRise(t *testing.T) {
	const limit = 68.2
	for _, c := range []struct {
		tread, riser float64
		hangs        bool
	}{
		{.2, .2, false}, {.4, .2, false}, {.1, .6, false}, {.4, .4, false}, {.4, 1, false}, {.9, .4, false}, {1, 1, false}, {1.9, .8, false},
		{.8, .2, true}, {1, .2, true}, {1.5, .4, true}, {2, .4, true}, {2.6, .8, true},
	} {
		for _, turn := range []float64{0, 37, 45} {
			s := shapes.Turn(shapes.Stairs(c.tread, c.riser, 12), shapes.Z, turn)
			name := fmt.Sprintf("%g out by %g up, turned %g", c.tread, c.riser, turn)
			reach := worst(t, "overhang", take(t, s, "overhang", limit), "reach")
			if c.hangs {
				assert.InDelta(t, 12, reach, 1.2*c.tread+.5, name)
			} else {
				assert.LessOrEqual(t, reach, max(c.tread, .5)+cell, name)
			}
		}
	}
}

// Stairs whose treads are less than a cell too deep hang as the slope along their edges does.
func TestStairsALittleTooSteepHang(t *testing.T) {
	for _, c := range []struct {
		tread, limit float64
		hangs        bool
	}{
		{.2, 50.2, false}, {.3, 50.2, true}, {.35, 50.2, true}, {.4, 50.2, true}, {.4, 68.2, false}, {.5, 68.2, false}, {.6, 68.2, true}, {.65, 68.2, true},
	} {
		for _, turn := range []float64{0, 20, 45} {
			r := take(t, shapes.Turn(shapes.Stairs(c.tread, .2, 12), shapes.Z, turn), "overhang", c.limit)
			reach, name := worst(t, "overhang", r, "reach"), fmt.Sprintf("%g out by 0.2 up, turned %g, limit %g", c.tread, turn, c.limit)
			if c.hangs {
				assert.InDelta(t, 12, reach, 3.1*c.tread+.5, name)
			} else {
				assert.Zero(t, reach, name)
			}
		}
	}
}

// A thin wall that leans by steps, within the limit, hangs nowhere.
func TestThinWallOfStepsHangsNowhere(t *testing.T) {
	for thick := 2; thick <= 5; thick++ {
		xs, zs := []float64{0}, []float64{0}
		for i := range 40 {
			xs, zs = append(xs, float64(i+1)*.2), append(zs, float64(i+1)*.2)
		}
		s := shapes.Blocks(xs, []float64{0, 14}, zs, func(i, _, k int) bool { return i <= k && i+thick > k })
		for _, turn := range []float64{0, 20, 33, 45} {
			r := take(t, shapes.Turn(s, shapes.Z, turn), "overhang", 50.2)
			assert.Empty(t, r.Sites, "%d steps thick, turned %g", thick, turn)
		}
	}
}

// A deep tread among gentle ones hangs by its own depth, and an arm at the end of stairs by its own.
func TestLedgeAmongStairsIsFound(t *testing.T) {
	for _, deep := range []float64{3, 8} {
		s := shapes.Join(shapes.Stairs(.2, .2, 4), shapes.Box(mesh.Vec{X: 13.9, Z: 14}, mesh.Vec{X: 14 + deep, Y: 14, Z: 18}))
		for _, turn := range []float64{0, 37} {
			r := take(t, shapes.Turn(s, shapes.Z, turn), "overhang", 68.2)
			require.Len(t, r.Sites, 1)
			assert.InDelta(t, deep, worst(t, "overhang", r, "reach"), .3)
			assert.InDelta(t, 90, worst(t, "overhang", r, "angle"), .01)
		}
	}
}

// However a slope past the limit is cut into triangles, all of it hangs, though most of them
// end below the next cut.
func TestSlopeOfSmallTrianglesHangs(t *testing.T) {
	for _, lean := range []float64{64, 70, 75, 80} {
		s := shapes.LeaningArm(lean, 8)
		for range 5 {
			s = shapes.Split4(s)
		}
		for _, turn := range []float64{0, 37} {
			r := take(t, shapes.Turn(s, shapes.Z, turn), "overhang", 62)
			require.Len(t, r.Sites, 1, "%g deg", lean)
			assert.InDelta(t, 8, worst(t, "overhang", r, "reach"), .3, "%g deg", lean)
			assert.InDelta(t, lean, worst(t, "overhang", r, "angle"), .1, "%g deg", lean)
		}
	}
}
