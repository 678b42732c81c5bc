package shapes

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// The hard solids are what they are called: closed where they say so, of the volume that
// their bodies have, and as many triangles as their names tell of.
func TestCrowds(t *testing.T) {
	for _, c := range []struct {
		name      string
		triangles int
		volume    float64
		tris      func() *mesh.Triangles
	}{
		{"needles", 40, 0, func() *mesh.Triangles { return Needles(10, 50, .5, dice.Seed(t)) }},
		{"sheets", 60, 5 * 100 * 100 * .5, func() *mesh.Triangles { return Sheets(5, 100, .5, 1) }},
		{"nested", 36, 1000 + 296.2963 + 37.037, func() *mesh.Triangles { return Nested(3, 10, false) }},
		{"nested, turned", 36, 1000 - 296.2963 + 37.037, func() *mesh.Triangles { return Nested(3, 10, true) }},
		{"coincident", 48, 4 * 1000, func() *mesh.Triangles { return Coincident(4, 10, .01) }},
		{"floating", 12 + 7*12, 12*12*5 + 7*2*2*20*1., func() *mesh.Triangles { return Floating(7, 2, 20) }},
		{"overlapping", 36, 3 * 40 * 40 * 2, func() *mesh.Triangles { return Overlapping(3, 40, dice.Seed(t)) }},
		{"fan", 4 * 9, 0, func() *mesh.Triangles { return EdgeFan(9, 20) }},
	} {
		s := c.tris()
		assert.Equal(t, c.triangles, s.Count(), c.name)
		requireClosed(t, s, true)
		if c.volume > 0 {
			assert.InEpsilon(t, c.volume, volume(s), 1e-4, c.name)
		} else {
			assert.Positive(t, volume(s), c.name)
		}
	}
	comb := Comb(4, 10, 6, .5, 1)
	requireClosed(t, comb, false)
	assert.InEpsilon(t, 7*10*2+4*.5*10*6, volume(comb), 1e-5)
	assert.Equal(t, 30, RandomTriangles(30, 10, dice.Seed(t)).Count())
}

// The list is complete, its names are told apart, and a seed says all.
func TestListOfCrowds(t *testing.T) {
	names := map[string]bool{}
	for _, c := range Crowds() {
		require.False(t, names[c.Name], c.Name)
		names[c.Name] = true
		s := c.Make(5)
		require.Positive(t, s.Count(), c.Name)
		require.Less(t, s.Count(), 100_000, c.Name)
		require.Equal(t, s, c.Make(5), c.Name)
	}
	assert.Len(t, names, 18)
}
