package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// onLegs is a plate at 12 mm on square legs that end at the heights given.
func onLegs(feet ...float64) *mesh.Triangles {
	s := box(0, 0, 12, 60, 20, 20)
	for i, z := range feet {
		x := 12 * float64(i)
		s = shapes.Join(s, box(x, 5, z, x+4, 10, 13))
	}
	return s
}

// TestFeet: legs that end a few layers above the bed are one site, with the cut that reaches
// all of them and what lies flat after it.
func TestFeet(t *testing.T) {
	for _, v := range variants {
		r := take(t, v.change(onLegs(0, .4, .6, 1, 5)), "feet")
		require.Len(t, r.Sites, 1, v.name)
		s := &r.Sites[0]
		assert.Equal(t, Feet.Model(&r), Feet.Site(s), v.name)
		f := Feet.Site(s)
		assert.Equal(t, 3, f.Feet, v.name)
		assert.InDelta(t, 0.4, f.From, 1e-4, v.name)
		assert.InDelta(t, 1, f.To, 1e-4, v.name)
		assert.InDelta(t, 1.1, f.Cut, 1e-4, v.name)
		assert.InDelta(t, 4*4*5, f.Section, 4, v.name)
		assert.InDelta(t, 20, f.Height, 1e-3, v.name)
		require.Len(t, s.Parts, 4, "%s: with the bed", v.name)
		assert.Len(t, s.Undersides(), 3, v.name)
		assert.Equal(t, s.Parts[2].At, s.At, "%s: the highest foot is named", v.name)
		for _, p := range s.Undersides() {
			assert.True(t, s.Box.Contains(p.At, 0.01), v.name)
			assert.InDelta(t, 20, p.Below.Area, 2, v.name)
		}
	}
}

// TestNoFeet: what begins higher, over the model, joins nothing or joins at once, and a bit
// of dust, are no feet.
func TestNoFeet(t *testing.T) {
	for name, s := range map[string]*mesh.Triangles{
		"level":          onLegs(0, 0, 0),
		"one layer":      onLegs(0, .2),
		"higher":         onLegs(0, 1.8),
		"loose":          shapes.Join(onLegs(0), box(30, 5, .4, 34, 9, 8)),
		"over the model": shapes.Join(onLegs(0), box(30, 5, .8, 34, 9, 13), box(28, 2, 0, 36, 12, .3)),
		"at once":        shapes.Join(box(0, 0, .8, 60, 20, 20), box(0, 0, 0, 5, 5, 1), box(30, 5, .4, 34, 9, 1)),
		"a needle":       shapes.Join(box(0, 0, 2, 60, 20, 20), box(0, 0, 0, 9, 9, 3), box(30, 5, .4, 30.8, 5.8, 3)),
	} {
		assert.Empty(t, take(t, s, "feet").Sites, name)
	}
}
