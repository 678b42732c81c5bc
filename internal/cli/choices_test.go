package cli

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// choicesOf asks what can be done with a solid.
func choicesOf(t *testing.T, solid *mesh.Triangles) (*finding.Advice, string) {
	t.Helper()
	path := saveSTL(t, t.TempDir(), "m.stl", solid)
	code, out, _ := run(t, Env{}, "advise", "--format", "json", path)
	require.Equal(t, 0, code)
	var r finding.Report
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	require.Len(t, r.Models, 1)
	code, text, _ := run(t, Env{}, "advise", path)
	require.Equal(t, 0, code)
	return r.Models[0].Advice, text
}

// TestChoicesAreInOrder: of a cross, two pieces leave nothing and come before support, which
// has rough faces; all rows are counted alike, so that the pieces weigh what the model does.
func TestChoicesAreInOrder(t *testing.T) {
	a, text := choicesOf(t, cross())
	require.Greater(t, len(a.Choices), 1)
	byKind := map[string]*finding.Choice{}
	for i := range a.Choices {
		c := &a.Choices[i]
		byKind[c.Kind] = c
		if i > 0 {
			assert.GreaterOrEqual(t, c.Errors, a.Choices[i-1].Errors)
		}
	}
	pieces, lies := byKind["pieces"], byKind["as-it-lies"]
	require.NotNil(t, pieces)
	require.NotNil(t, lies)
	assert.Zero(t, pieces.Errors)
	assert.Equal(t, 1, pieces.Seams)
	assert.Equal(t, "cut and glue", pieces.Work[0])
	assert.True(t, lies.Support)
	assert.Positive(t, lies.Rough)
	assert.Less(t, pieces.Grams, lies.Grams, "support weighs something")
	assert.Contains(t, text, "what can be done, the best first")
	assert.Contains(t, text, "cut it in pieces")
}

// TestOverlapsCountOnce: the table takes the volume of bodies that overlap once, as the measure
// print does, so that a second copy of all but the same body does not double the plastic.
func TestOverlapsCountOnce(t *testing.T) {
	one, _ := choicesOf(t, cross())
	two, _ := choicesOf(t, shapes.Join(cross(), shapes.Scale(cross(), 0.999)))
	grams := func(a *finding.Advice) float64 {
		for i := range a.Choices {
			if c := &a.Choices[i]; c.Kind == "as-it-lies" {
				return c.Grams
			}
		}
		t.Fatal("the model as it lies is not among what can be done")
		return 0
	}
	assert.InEpsilon(t, grams(one), grams(two), 0.15, catalog.Gram)
}

// TestNothingToChoose: a clean model has no table.
func TestNothingToChoose(t *testing.T) {
	a, text := choicesOf(t, shapes.Cube(20))
	assert.Empty(t, a.Choices)
	assert.NotContains(t, text, "what can be done")
}

// TestAdviceOnAPage: the page of advice has the table, the cut in pieces and the change.
func TestAdviceOnAPage(t *testing.T) {
	path := saveSTL(t, t.TempDir(), "m.stl", cross())
	code, page, _ := run(t, Env{}, "advise", "--format", "html", path)
	require.Equal(t, 0, code)
	for _, said := range []string{">What can be done<", ">Cut it in pieces<", ">Change the model<", "data:image/png;base64,", "Cut and glue"} {
		assert.Contains(t, page, said)
	}
}
