package advise

import (
	"context"
	"io/fs"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/verdict"
)

// adviceOn is the whole advice on a solid, by the standard set.
func adviceOn(t *testing.T, solid *mesh.Triangles) *finding.Advice {
	t.Helper()
	advice, err := questionOn(t, solid).Answer(context.Background())
	require.NoError(t, err)
	return advice
}

// questionOn asks for the whole advice on a solid, by the standard set.
func questionOn(t *testing.T, solid *mesh.Triangles) *Question {
	t.Helper()
	config, err := ruleset.Load("", ruleset.Options{
		Catalog: Catalog(), Open: func(string) ([]byte, error) { return nil, fs.ErrNotExist },
	})
	require.NoError(t, err)
	s := verdict.New(mesh.Weld(solid), "", config.For("a.stl"), Extra...)
	results, err := s.Body.Measure(context.Background(), measure.AsIs, s.View.Process, measure.Options{}, s.Requests)
	require.NoError(t, err)
	v, err := s.Judge(results)
	require.NoError(t, err)
	return &Question{Options: Options{Depth: Full}, AsItLies: v, Findings: verdict.Unite([]*verdict.Verdict{v}).Findings(nil), Config: config, Path: "a.stl"}
}

// TestSolidsThatAreAdvisedEndTheirFinding: the volume added is that of the solid, and what is
// promised is less than what the best way up leaves.
func TestSolidsThatAreAdvisedEndTheirFinding(t *testing.T) {
	a := adviceOn(t, shapes.Signpost())
	require.NotNil(t, a.Edits)
	require.Len(t, a.Edits.List, 1)
	e := a.Edits.List[0]
	assert.Equal(t, "slope", e.Kind)
	assert.Equal(t, []string{"max-overhang-angle"}, e.Rules)
	// Under four arms of 12 by 10 mm half a square of 12 mm each.
	assert.InDelta(t, 4*10*12*12/2, e.Volume, 90)
	assert.Zero(t, a.Edits.Pose.Findings.Error)
	assert.Positive(t, a.Poses[0].Findings.Error)
	k := slices.IndexFunc(a.Choices, func(c finding.Choice) bool { return c.Kind == "edit" })
	require.NotEqual(t, -1, k)
	assert.Equal(t, a.Choices[k].Grams, a.Edits.Pose.Grams, "the table and the way up say the same")
	assert.Equal(t, a.Choices[k].Minutes, a.Edits.Pose.Minutes)
}

// TestNothingIsAddedWhereTurningIsEnough, nor where nothing is wrong.
func TestNothingIsAddedWhereTurningIsEnough(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{"t": shapes.T(), "cube": shapes.Cube(20), "table": shapes.Table()} {
		assert.Nil(t, adviceOn(t, solid).Edits, name)
	}
}
