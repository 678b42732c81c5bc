package added_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/added"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// sides is the area of the polygon with 24 sides that a circle lies in.
func sides(r float64) float64 { return 24 * r * r * math.Tan(math.Pi/24) }

// pinOnPlate is a round pin on a plate 4 mm thick.
func pinOnPlate(r, high float64, n int) *mesh.Mesh {
	return mesh.Weld(shapes.Join(shapes.Box(mesh.Vec{X: -10, Y: -10}, mesh.Vec{X: 10, Y: 10, Z: 4}), shapes.Move(shapes.Cylinder(r, high, n), mesh.Vec{Z: 4})))
}

func around(r, low, high float64) mesh.Box {
	return mesh.Box{Min: mesh.Vec{X: -r - 0.1, Y: -r - 0.1, Z: low}, Max: mesh.Vec{X: r + 0.1, Y: r + 0.1, Z: high}}
}

// TestAPinGrowsThicker: the sleeve around a pin of 1 mm that is to be 3.8 mm wide is a prism of 24
// sides, which holds the pin and reaches into the plate.
func TestAPinGrowsThicker(t *testing.T) {
	p := added.PinIn(pinOnPlate(0.5, 30, 48), around(0.5, 4, 34))
	require.NotNil(t, p)
	assert.InDelta(t, 1, p.Width, 0.01)
	solid, volume := p.Thicker(2.8, false)
	pin := 30 * 48 * 0.25 / 2 * math.Sin(2*math.Pi/48)
	assert.InDelta(t, 30*sides(1.9)-pin, volume, 0.01)
	assert.InDelta(t, 30.02*sides(1.9), volumeOf(t, solid), 0.1)
	box := mesh.Weld(solid).Box()
	assert.InDelta(t, 3.98, box.Min.Z, 1e-5)
	assert.InDelta(t, 34, box.Max.Z, 1e-5)
	assert.InDelta(t, 3.8, box.Size().X, 0.01)
	solid, _ = p.Thicker(2.8, true)
	assert.InDelta(t, 34.02, mesh.Weld(solid).Box().Max.Z, 1e-5)
}

// TestAFilletIsACone: one of 3 mm around a pin of 3 mm is a cone from 9 mm to 3 mm, less the pin.
func TestAFilletIsACone(t *testing.T) {
	p := added.PinIn(pinOnPlate(1.5, 26, 48), around(1.5, 4, 30))
	require.NotNil(t, p)
	solid, volume := p.Fillet(3)
	cone := 3 * (sides(4.5) + sides(1.5) + math.Sqrt(sides(4.5)*sides(1.5))) / 3
	pin := 3 * 48 * 1.5 * 1.5 / 2 * math.Sin(2*math.Pi/48)
	assert.InDelta(t, cone-pin, volume, 1.5)
	assert.InDelta(t, cone, volumeOf(t, solid), 3)
	assert.InDelta(t, 7, mesh.Weld(solid).Box().Max.Z, 1e-5)
	solid, _ = p.Fillet(26)
	assert.Nil(t, solid)
}

// TestAPinThatTapersKeepsItsTaper: half of what is added lies on either side at every height.
func TestAPinThatTapersKeepsItsTaper(t *testing.T) {
	m := mesh.Weld(shapes.Cone(2, 0, 40, 48))
	p := added.PinIn(m, m.Box().Grow(0.1))
	require.NotNil(t, p)
	_, volume := p.Thicker(1, false)
	assert.InDelta(t, 40*math.Pi*(2.5*2.5+0.5*0.5+2.5*0.5)/3-40*math.Pi*4/3, volume, 3)
}

// TestNoPinIsWhereNothingStands, nor where other things stand in the box.
func TestNoPinIsWhereNothingStands(t *testing.T) {
	m := pinOnPlate(0.5, 30, 24)
	assert.Nil(t, added.PinIn(m, mesh.Box{Min: mesh.Vec{X: 5, Y: 5, Z: 5}, Max: mesh.Vec{X: 8, Y: 8, Z: 20}}))
}

// TestRandomPinsGrow: any outline, held from all sides, is closed and holds the pin.
func TestRandomPinsGrow(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 2))
	for range 60 {
		r, high, n := 0.1+2*rng.Float64(), 3+40*rng.Float64(), 3+rng.IntN(30)
		lean := mesh.Vec{X: 4 * rng.Float64(), Y: 4 * rng.Float64()}
		s := shapes.Map(shapes.Cylinder(r, high, n), func(v shapes.Vec) shapes.Vec {
			return v.Add(lean.Scale(v.Z / high))
		})
		m := mesh.Weld(s)
		p := added.PinIn(m, m.Box().Grow(0.1))
		require.NotNil(t, p)
		by := 0.1 + 3*rng.Float64()
		solid, volume := p.Thicker(by, rng.IntN(2) > 0)
		assert.Greater(t, volumeOf(t, solid), volume)
		// At least what the outline moved out by half of it holds more, by its rim and its corners.
		assert.Greater(t, volume, 0.98*high*(2*float64(n)*r*math.Sin(math.Pi/float64(n))*by/2))
		if size := high * rng.Float64(); size > 0.2 {
			solid, volume = p.Fillet(size)
			assert.Greater(t, volumeOf(t, solid), volume)
			assert.Positive(t, volume)
		}
	}
}
