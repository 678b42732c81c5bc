package thin

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// Plates of any thickness up to the limit, turned anyhow, are found with that
// thickness on both faces; those from the limit on are not.
func TestPlatesOfAnyThickness(t *testing.T) {
	const limit = 1.0
	r := dice.New(t)
	for _, thick := range []float64{.01, .05, .1, .3, .5, .8, .99, .999, 1, 1.001, 1.5} {
		plate := shapes.Box(mesh.Vec{}, mesh.Vec{X: 12, Y: 9, Z: thick})
		about := mesh.Vec{X: r.Float64() - .5, Y: r.Float64() - .5, Z: .1 + r.Float64()}.Unit()
		for turn, soup := range []*mesh.Triangles{plate, shapes.Turn(plate, about, 360*r.Float64())} {
			m, found := search(t, soup, Options{Medium: Wall, Limit: limit})
			places := found.Regions(m, limit, nil)
			if thick >= limit {
				assert.Empty(t, places, "%v thick, turn %d", thick, turn)
				continue
			}
			require.Len(t, places, 1, "%v thick, turn %d", thick, turn)
			p := places[0]
			assert.InDelta(t, thick, p.Thick, 2e-4)
			assert.InEpsilon(t, 12*9, p.Area, .01)
			assert.False(t, p.Sharp)
			assert.InDelta(t, math.Hypot(12, 9), p.Length, 1.5)
			_, none := search(t, soup, Options{Medium: Gap, Limit: limit})
			assert.Empty(t, none.Samples, "a plate alone has no gap")
		}
	}
}

// Two plates any distance apart: the gap between them, and no wall. Up to 0.02 mm they
// are drawn to touch.
func TestGapsOfAnyWidth(t *testing.T) {
	const limit = .5
	for _, gap := range []float64{.005, .019, .021, .1, .25, .4, .499, .5, .501, .9} {
		soup := shapes.Join(shapes.Box(mesh.Vec{}, mesh.Vec{X: 8, Y: 8, Z: 3}), shapes.Box(mesh.Vec{Z: 3 + gap}, mesh.Vec{X: 8, Y: 8, Z: 6}))
		m, found := search(t, soup, Options{Medium: Gap, Limit: limit})
		_, walls := search(t, soup, Options{Medium: Wall, Limit: limit})
		assert.Empty(t, walls.Samples)
		places := found.Regions(m, limit, nil)
		if gap >= limit || gap < Touching {
			assert.Empty(t, places, "%v", gap)
			continue
		}
		require.Len(t, places, 1, "%v", gap)
		assert.InDelta(t, gap, places[0].Thick, 2e-4)
		assert.InEpsilon(t, 64, places[0].Area, .01)
	}
}

// Concentric shells are as thick as their radii differ, less what facets take, over
// all of their surface.
func TestShellsOfAnyThickness(t *testing.T) {
	for _, thick := range []float64{.2, .5, .9} {
		const n, r = 48, 8.0
		m, found := search(t, shapes.HollowSphere(r, thick, n), Options{Medium: Wall, Limit: 1})
		places := found.Regions(m, 1, nil)
		require.NotEmpty(t, places)
		least, area := math.Inf(1), 0.0
		for _, p := range places {
			least, area = min(least, p.Thick), area+p.Area
		}
		sagitta := r * (1 - math.Cos(math.Pi/n)*math.Cos(math.Pi/n))
		assert.InDelta(t, thick, least, sagitta)
		inner := r - thick
		assert.InEpsilon(t, 2*math.Pi*(r*r+inner*inner), area, .05)
	}
}

// What is looked for grows with the model, and neither mirror, order nor workers
// change what is found.
func TestThinLaws(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{"fin": shapes.Fin(.4), "pocket": shapes.Pocket(.3), "wedge": shapes.Wedge(12), "slot": shapes.Slot(.4)} {
		for _, kind := range []Medium{Wall, Gap} {
			sum := func(s *mesh.Triangles, limit float64, jobs int) (n int, area, least float64) {
				m, found := search(t, s, Options{Medium: kind, Limit: limit, Jobs: jobs})
				least = math.Inf(1)
				places := found.Regions(m, limit, nil)
				for _, p := range places {
					area, least = area+p.Area, min(least, p.Thick)
				}
				return len(places), area, least
			}
			n, area, least := sum(soup, .8, 1)
			for other, s := range map[string]*mesh.Triangles{"mirrored": shapes.Mirror(soup), "shuffled": shapes.Shuffle(soup, 4), "moved": shapes.Move(soup, mesh.Vec{X: 16, Y: -32, Z: 8})} {
				n2, area2, least2 := sum(s, .8, 3)
				assert.Equal(t, n, n2, "%s %s", name, other)
				assert.InDelta(t, area, area2, .02*area, "%s %s", name, other)
				if n > 0 {
					assert.InDelta(t, least, least2, 2e-4, "%s %s", name, other)
				}
			}
			n2, area2, least2 := sum(shapes.Scale(soup, 2), 1.6, 1)
			assert.Equal(t, n, n2, "%s twice the size", name)
			assert.InDelta(t, 4*area, area2, .1*area2, "%s twice the size", name)
			if n > 0 {
				assert.InDelta(t, 2*least, least2, 4e-4, "%s twice the size", name)
			}
		}
	}
}
