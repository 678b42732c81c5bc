package advise

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
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
