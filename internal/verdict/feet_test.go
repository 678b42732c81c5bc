package verdict

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// stool is a plate at 12 mm on legs that end at the heights given.
func stool(feet ...float64) *mesh.Triangles {
	s := shapes.Box(mesh.Vec{Z: 12}, mesh.Vec{X: 60, Y: 20, Z: 20})
	for i, z := range feet {
		x := 12 * float64(i)
		s = shapes.Join(s, shapes.Box(mesh.Vec{X: x, Y: 5, Z: z}, mesh.Vec{X: x + 4, Y: 10, Z: 13}))
	}
	return s
}

// TestFeetAreToldOnce: legs that are a little short are one finding, and not one piece in
// mid-air each; what begins in mid-air elsewhere is still told.
func TestFeetAreToldOnce(t *testing.T) {
	view := ruled(t, "standard", "")
	loose := shapes.Box(mesh.Vec{X: 40, Y: 30, Z: .4}, mesh.Vec{X: 50, Y: 40, Z: 10})
	flat := shapes.Join(shapes.Box(mesh.Vec{}, mesh.Vec{X: 60, Y: 20, Z: 1}), shapes.Box(mesh.Vec{Z: 1}, mesh.Vec{X: 4, Y: 20, Z: 8}),
		shapes.Box(mesh.Vec{Z: 6}, mesh.Vec{X: -30, Y: 20, Z: 8}), shapes.Box(mesh.Vec{X: -30, Z: .8}, mesh.Vec{X: -24, Y: 20, Z: 8}))
	for name, c := range map[string]struct {
		solid *mesh.Triangles
		view  string
		want  []string
	}{
		"three short legs":                 {stool(0, .4, .6, 1), "", []string{"flat-base", "feet-not-level"}},
		"one short leg":                    {stool(0, 0, 0, .6), "", []string{"feet-not-level"}},
		"within two layers":                {stool(0, .2, .2), "", []string{"flat-base"}},
		"and one that ends higher":         {stool(0, .4, 1, 5), "", []string{"flat-base", "feet-not-level", "no-floating-islands"}},
		"higher alone":                     {stool(0, 1.8), "", []string{"flat-base", "no-floating-islands"}},
		"and a loose piece as low":         {shapes.Join(stool(0, .4), loose), "", []string{"flat-base", "detached-piece", "feet-not-level"}},
		"a loose piece alone":              {shapes.Join(stool(0, 0), loose), "", []string{"brim-advised", "detached-piece"}},
		"a thin plate and a low tip":       {flat, "", []string{"no-floating-islands"}},
		"switched off: each piece again":   {stool(0, .4, .6), "rules: {feet-not-level: {level: none}}", []string{"flat-base", "no-floating-islands", "no-floating-islands"}},
		"a warning does not hide an error": {stool(0, .4, .6), "rules: {feet-not-level: {level: warning}}", []string{"feet-not-level", "flat-base", "no-floating-islands", "no-floating-islands"}},
	} {
		of := view
		if c.view != "" {
			of = ruled(t, "standard", c.view)
		}
		s, results := measured(t, c.solid, of)
		v, err := s.Judge(results)
		assert.NoError(t, err)
		var said []string
		for _, h := range v.Hits {
			switch h.Rule {
			case "feet-not-level", "flat-base", "speck-below-floor", "brim-advised", "no-floating-islands", "detached-piece":
				if h.Level != finding.None {
					said = append(said, h.Rule)
				}
			}
		}
		assert.ElementsMatch(t, c.want, said, name)
	}
}
