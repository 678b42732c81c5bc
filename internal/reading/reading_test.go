package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSyllables holds the count against words whose syllables a dictionary gives.
func TestSyllables(t *testing.T) {
	for word, want := range map[string]int{
		"bed": 1, "bridge": 1, "layer": 2, "vertical": 3, "plastic": 2, "edge": 1, "edges": 2, "printed": 2, "stands": 1, "little": 2,
		"underside": 3, "20.0": 1, "mm²": 1, "mid-air": 2, "supports": 2, "faces": 2, "turned": 1, "thickness": 2,
	} {
		assert.Equal(t, want, Syllables(word), word)
	}
}

// TestGrade computes three sentences by hand.
func TestGrade(t *testing.T) {
	assert.InDelta(t, 0.39*6+11.8*1-15.59, Grade("The cat sat on the mat."), 1e-9)
	assert.InDelta(t, 0.39*3+11.8*4/3-15.59, Grade("print with support"), 1e-9)
	assert.InDelta(t, 0.39*2+11.8*1-15.59, Grade("a bed; a wall"), 1e-9, "a semicolon ends a thought")
	assert.Zero(t, Grade(" ... "))
	assert.Greater(t, Grade("The independent implementation substantiates geometrical considerations."), 15.0)
}
