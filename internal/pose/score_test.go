package pose

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// direct is the brute-force twin of the score: every triangle is looked at by itself.
func direct(m *mesh.Mesh, down mesh.Vec, angle float64) (hang, air, contact, height float64) {
	low, high := math.Inf(-1), math.Inf(1)
	for _, p := range m.Verts {
		d := down.Dot(mesh.Of64(p))
		low, high = max(low, d), min(high, d)
	}
	limit := math.Sin((angle + angleSlack) * math.Pi / 180)
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		n := b.Sub(a).Cross(c.Sub(a))
		area := n.Dot(down) / 2
		lies := min(down.Dot(a), down.Dot(b), down.Dot(c)) > low-onBed
		if lies && area > 0.99*n.Len()/2 {
			contact += area
		}
		if n.Dot(down) > limit*n.Len() {
			hang += area
			air += area * (low - down.Dot(a.Add(b).Add(c).Scale(1.0/3)))
		}
	}
	return hang - contact, air, contact, low - high
}

// TestScoreAgainstEveryTriangle compares solids whose faces do not share a cell of the
// sphere, so that gathering loses nothing.
func TestScoreAgainstEveryTriangle(t *testing.T) {
	seed := dice.Seed(t)
	rng := rand.New(rand.NewPCG(seed, 1))
	for name, solid := range map[string]*mesh.Triangles{
		"T": shapes.T(), "table": shapes.Table(), "hook": shapes.Hook(), "M": shapes.M(), "arm": shapes.LeaningArm(60, 20),
	} {
		solid = shapes.Turn(solid, shapes.Vec{X: rng.Float64(), Y: rng.Float64(), Z: 1}, 360*rng.Float64())
		m := mesh.Weld(solid)
		s := newSurface(m, 50, new(work.Tally))
		list := append([]mesh.Vec{Down}, spread(40)...)
		for _, d := range append(list, s.rests()...) {
			c := s.score(d, Spread)
			hang, air, contact, height := direct(m, d, 50)
			assert.InDelta(t, height, c.Height, 0.02, name)
			assert.InDelta(t, contact, c.Contact, 1e-3*contact+1e-6, name)
			assert.InDelta(t, hang, c.Hang, 1e-6*m.Area()+0.02, name)
			assert.InDelta(t, air, c.Air, 1e-6*m.Area()*height+0.5, name)
		}
	}
}

// TestScoreOfKnownSolids holds the closed forms.
func TestScoreOfKnownSolids(t *testing.T) {
	s := newSurface(mesh.Weld(shapes.T()), 45, new(work.Tally))
	c := s.score(Down, AsItLies)
	assert.InDelta(t, 400, c.Hang, 1e-6)
	assert.InDelta(t, 12000, c.Air, 1e-4)
	assert.InDelta(t, 100, c.Contact, 1e-6)
	assert.InDelta(t, 40, c.Height, 1e-6)
	assert.InDelta(t, 10.3, c.Tip, 0.02, "the letter, as MEASURES has it")
	c = s.score(mesh.Vec{Z: 1}, Axis)
	assert.Zero(t, c.Hang)
	assert.Zero(t, c.Air)
	assert.InDelta(t, 500, c.Contact, 1e-6)

	// A ball has 2 pi r^2 (1 - sin a) of surface past a, seen from above pi (r cos a)^2.
	ball := newSurface(mesh.Weld(shapes.Sphere(10, 256)), 45, new(work.Tally))
	seen := ball.score(mesh.Vec{X: 0.48, Y: 0.6, Z: -0.64}, Spread)
	assert.InDelta(t, math.Pi*50, seen.Hang+seen.Contact, 6)
}

// TestTipOfPrisms: a square prism h times as tall as wide tips at atan(1/h).
func TestTipOfPrisms(t *testing.T) {
	for slender, want := range map[float64]float64{1: 45, 4: 14.04, 8: 7.13, 10: 5.71} {
		s := newSurface(mesh.Weld(shapes.Box(shapes.Vec{}, shapes.Vec{X: 10, Y: 10, Z: 10 * slender})), 45, new(work.Tally))
		assert.InDelta(t, want, s.score(Down, AsItLies).Tip, 0.01)
	}
	hook := newSurface(mesh.Weld(shapes.Hook()), 45, new(work.Tally))
	assert.Zero(t, hook.score(Down, AsItLies).Tip, "its centre of mass is not over its foot")
}

func TestMassCenter(t *testing.T) {
	m := mesh.Weld(shapes.Move(shapes.Cube(20), shapes.Vec{X: 100}))
	c := massCenter(m, m.Box())
	assert.InDelta(t, 110, c.X, 1e-4)
	assert.InDelta(t, 10, c.Y, 1e-4)
	assert.InDelta(t, 10, c.Z, 1e-4)
	sheet := mesh.Weld(&mesh.Triangles{Corners: []mesh.Point{{0, 0, 0}, {3, 0, 0}, {0, 3, 0}}})
	c = massCenter(sheet, sheet.Box())
	assert.InDelta(t, 1, c.X, 1e-9, "a sheet has that of its surface")
}

// TestBinsCoverTheSphere: every direction has one cell, and neighbours are near.
func TestBinsCoverTheSphere(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	first := map[int]mesh.Vec{}
	for range 50000 {
		d := mesh.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit()
		b := binOf(d)
		if k, ok := first[b]; b < 0 || b >= 6*binSide*binSide || ok && k.Dot(d) < math.Cos(6*math.Pi/180) {
			require.Fail(t, "a cell is wrong or holds directions far apart", "%d", b)
		}
		first[b] = d
	}
	for _, d := range axes {
		assert.NotPanics(t, func() { binOf(d) })
	}
}

func TestReliefIsFineDetailOnly(t *testing.T) {
	lid := mesh.Weld(shapes.PatternLid())
	assert.Zero(t, Relief(lid, Down))
	// Nine ribs 1.2 wide stand on 60 by 40.
	assert.InDelta(t, 60*40-9*1.2*40, Relief(lid, mesh.Vec{Z: 1}), 1e-2)
	step := mesh.Weld(shapes.ExtrudeY(shapes.Polygon{{0, 1}, {20, 1}, {20, 0}, {40, 0}, {40, 9}, {0, 9}}, 0, 30))
	assert.Zero(t, Relief(step, Down), "a wide step is no detail")
	assert.Zero(t, Relief(mesh.Weld(shapes.Recess(8, 2, 48)), Down), "a recess is no detail")
}

func TestCosts(t *testing.T) {
	from := Traits{Height: 20, Contact: 300}
	assert.Empty(t, Costs(from, Traits{Height: 25, Contact: 200}))
	assert.Equal(t, []string{"it stands 60.0 mm tall instead of 20.0 mm"}, Costs(from, Traits{Height: 60, Contact: 200}))
	assert.Equal(t, []string{"fine detail then lies on the bed and comes out flattened"}, Costs(from, Traits{Height: 20, Contact: 200, Relief: 20}))
	assert.Equal(t, []string{"next to nothing lies flat on the bed: print it with a brim"}, Costs(from, Traits{Height: 20, Contact: 1}))
	pin := Traits{Height: 20, Contact: 200, PinWidth: 4, PinHeight: 30, Slender: 7.5}
	require.Len(t, Costs(from, pin), 1)
	assert.Contains(t, Costs(from, pin)[0], "a pin 4.00 mm wide then stands 30.0 mm tall")
	assert.Empty(t, Costs(pin, pin), "what stood before is no cost of turning")
}
