package advise

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/measure"
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
