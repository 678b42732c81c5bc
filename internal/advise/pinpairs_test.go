package advise

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// offAfter is how far, in mm, the worst hole lies from the next hole as wide, after the pattern was
// turned about a middle.
func offAfter(holes []finding.PinHole, middle mesh.Vec, degrees float64) (worst float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for _, h := range holes {
		v := mesh.VecOf(h.At).Sub(middle)
		v = mesh.Vec{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos, Z: v.Z}.Add(middle)
		least := math.Inf(1)
		for _, o := range holes {
			if o.Width == h.Width {
				least = min(least, mesh.VecOf(o.At).Sub(v).Len())
			}
		}
		worst = max(worst, least)
	}
	return worst
}

// TestPiecesFitOneWay: the holes of a section that is the same after a turn, be it of one joint or of
// several, are not: no other turn than none brings all of them within a millimetre of each other.
func TestPiecesFitOneWay(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 7))
	bars := func(at ...[2]float64) *mesh.Triangles {
		var all *mesh.Triangles
		for _, p := range at {
			one := shapes.Box(mesh.Vec{X: p[0] - 8, Y: p[1] - 8}, mesh.Vec{X: p[0] + 8, Y: p[1] + 8, Z: 40})
			if all == nil {
				all = one
			} else {
				all = shapes.Join(all, one)
			}
		}
		return all
	}
	for name, c := range map[string]struct {
		solid *mesh.Triangles
		folds int // how often it is the same within a full turn; 0 for round ones
		holes int
	}{
		"square":      {shapes.Box(mesh.Vec{X: -10, Y: -10}, mesh.Vec{X: 10, Y: 10, Z: 40}), 4, 2},
		"bar":         {shapes.Box(mesh.Vec{X: -30, Y: -10}, mesh.Vec{X: 30, Y: 10, Z: 40}), 2, 2},
		"round":       {shapes.Cylinder(12, 40, 48), 0, 2},
		"hexagon":     {shapes.Cylinder(12, 40, 6), 6, 2},
		"tube":        {shapes.Tube(20, 8, 40, 48), 0, 2},
		"two bars":    {bars([2]float64{-20, 0}, [2]float64{20, 0}), 2, 4},
		"four bars":   {bars([2]float64{-20, -20}, [2]float64{20, -20}, [2]float64{-20, 20}, [2]float64{20, 20}), 4, 8},
		"bar and two": {bars([2]float64{-30, 0}, [2]float64{0, 0}, [2]float64{30, 0}), 2, 6},
		"half moons": {shapes.Join(
			shapes.Prism(shapes.Polygon{{3, -20}, {14, -14}, {20, 0}, {14, 14}, {3, 20}}, 0, 40),
			shapes.Prism(shapes.Polygon{{-3, 20}, {-14, 14}, {-20, 0}, {-14, -14}, {-3, -20}}, 0, 40)), 2, 4},
	} {
		turn, to := 360*r.Float64(), mesh.Vec{X: 90 * r.Float64(), Y: -40, Z: 7}
		m := mesh.Weld(shapes.Move(shapes.Turn(c.solid, shapes.Z, turn), to))
		p, _, _ := pinsOf(t, m, plane{normal: mesh.Vec{Z: 1}, offset: 27})
		require.Len(t, p.holes, c.holes, name)
		assert.Zero(t, p.even, name)
		middle := mesh.Vec{X: to.X, Y: to.Y, Z: 27}
		assert.Less(t, offAfter(p.holes, middle, 0), 1e-6)
		if c.folds == 0 {
			for angle := 10.0; angle <= 350; angle += 0.5 {
				assert.Greater(t, offAfter(p.holes, middle, angle), 1.0, "%s turned by %v", name, angle)
			}
		}
		for k := 1; k < c.folds; k++ {
			assert.Greater(t, offAfter(p.holes, middle, float64(360*k)/float64(c.folds)), 1.0, "%s turned by %d of %d", name, k, c.folds)
		}
	}
}

// TestASinglePinSitsBesideTheMiddle where there is room: then a piece that is turned about it does not
// lie on the other one. In a face with no room to spare it sits in the middle, and two sit evenly, and
// the words say so.
func TestASinglePinSitsBesideTheMiddle(t *testing.T) {
	single := func(wide, high float64) float64 {
		m := mesh.Weld(shapes.Box(mesh.Vec{}, mesh.Vec{X: wide, Y: high, Z: 80}))
		p, _, _ := pinsOf(t, m, plane{normal: mesh.Vec{Z: 1}, offset: 40})
		require.Len(t, p.holes, 1)
		return math.Hypot(p.holes[0].At[0]-wide/2, p.holes[0].At[1]-high/2)
	}
	assert.InDelta(t, 1.5, single(7.4, 7.4), 0.5)
	assert.Less(t, single(5, 5), 0.5)
	even := &pinned{holes: []finding.PinHole{{Pin: 4}}, even: 1}
	assert.Contains(t, even.words(), "; where two pins sit evenly about the middle of a face, the pieces also fit when one is turned by half a turn: mark them")
}
