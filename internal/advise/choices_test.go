package advise

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/shapes"
)

// TestErrorsWithoutSupport: where no support is planned, a row leaves all errors, also those
// that support could cure.
func TestErrorsWithoutSupport(t *testing.T) {
	w := &wayUp{outcome: &outcome{figures: figures{Errors: 2}, leftOver: 1}}
	c := newChoice("flat", w, &measure.PrintModel{Grams: 3, Minutes: 7})
	assert.Equal(t, 2, c.Errors)
	assert.Equal(t, 7.0, c.Minutes)
	assert.Empty(t, c.Work)
}

// TestTheTableAgreesWithTheAdvice: ways up are told in the order of the advice, and none that
// leaves more than the model as it lies.
func TestTheTableAgreesWithTheAdvice(t *testing.T) {
	kinds := func(best ...wayUp) (list []string) {
		for _, c := range wholeChoices(best, &measure.PrintModel{}) {
			list = append(list, c.Kind+" "+c.Words)
		}
		return list
	}
	turned, lies := judged(mesh.Vec{Z: 1}, 80, 1, 0, 0, 0.2), judged(pose.Down, 50, 1, 1, 0, 0.2)
	assert.Equal(t, []string{"turn turn it over", "as-it-lies "}, kinds(turned, lies))
	assert.Equal(t, []string{"as-it-lies ", "turn turn it over"}, kinds(lies, turned))
	assert.Equal(t, []string{"as-it-lies "}, kinds(lies, judged(mesh.Vec{X: 1}, 80, 1, 0, 0)), "one error with nothing under it, where support leaves none")
}

// TestAllFiguresOfOneAdviceAgree: what a way up takes is what its row in the table takes.
func TestAllFiguresOfOneAdviceAgree(t *testing.T) {
	a := adviceOn(t, shapes.Join(shapes.Signpost(), shapes.Scale(shapes.Signpost(), 0.999)))
	require.NotEmpty(t, a.Choices)
	for _, c := range a.Choices {
		if c.Kind == "as-it-lies" {
			w := a.Poses[slices.IndexFunc(a.Poses, func(w finding.Pose) bool { return w.Words == "as it lies" })]
			require.NotNil(t, w.Support)
			assert.InDelta(t, c.Grams, w.Grams+w.Support.Grams, 0.001)
			assert.InDelta(t, c.Minutes, w.Minutes+w.Support.Minutes, 0.001)
		}
	}
}

// TestLyingCountsAlikeInBothLists: what turning gains must be worth it, where what can be done is put
// in order as where ways up are; otherwise the words say that none is better than as it lies, and
// the list below them that one is.
func TestLyingCountsAlikeInBothLists(t *testing.T) {
	whole := &measure.PrintModel{Minutes: 160}
	lies := &wayUp{pose.Candidate{Down: pose.Down, Origin: pose.AsItLies}, &outcome{figures: figures{Scars: 2500}}}
	turned := &wayUp{pose.Candidate{Down: mesh.Vec{Z: 1}, Origin: pose.Rest}, &outcome{figures: figures{Scars: 2400}}}
	require.Less(t, lies.weight(), turned.weight())
	assert.Less(t, newChoice("as-it-lies", lies, whole).burden, newChoice("turn", turned, whole).burden)
}
