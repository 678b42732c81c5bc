package measure

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// askew is a ceiling over a gap between two walls, whose one end is cut by degrees from square.
func askew(gap, deg float64) *mesh.Triangles {
	wide := gap + 12
	out := wide * math.Tan(deg*math.Pi/180)
	end := func(x float64) float64 { return -30 - out*x/wide }
	slab := func(x0, x1, z0, z1 float64) *mesh.Triangles {
		return shapes.Turn(shapes.ExtrudeY(shapes.Polygon{{x0, end(x0)}, {x1, end(x1)}, {x1, 0}, {x0, 0}}, z0, z1), shapes.X, 90)
	}
	return shapes.Join(slab(0, 6, 0, 15), slab(wide-6, wide, 0, 15), slab(0, wide, 15, 18))
}

// A ceiling that is held along both sides leaves nothing that hangs at its open ends, be they
// cut askew: the strand along the edge goes from wall to wall and holds those that end on it.
func TestOpenEndOfACeilingIsHeld(t *testing.T) {
	for _, gap := range []float64{8, 14, 20, 30} {
		for _, deg := range []float64{0, 10, 20, 30, 40} {
			for _, turn := range []float64{0, 23} {
				name := fmt.Sprintf("gap %g, cut by %g, turned %g", gap, deg, turn)
				s := shapes.Turn(askew(gap, deg), shapes.Z, turn)
				b := take(t, s, "bridge")
				require.Len(t, b.Sites, 1, name)
				rest, span := worst(t, "overhang", take(t, s, "overhang"), "reach"), worst(t, "bridge", b, "span")
				if gap < process.Bridge { // short ones are laid in any direction, up to that length
					assert.LessOrEqual(t, rest, 2*process.Line, name)
					assert.LessOrEqual(t, span, process.Bridge, name)
					continue
				}
				assert.Zero(t, rest, name)
				assert.InDelta(t, gap, span, .4, name)
			}
		}
	}
}
