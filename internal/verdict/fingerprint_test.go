package verdict

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// TestFingerprintsFollowPlaceNotSize holds what a fingerprint is made of.
func TestFingerprintsFollowPlaceNotSize(t *testing.T) {
	at := func(rule string, height, radius float64, reach float64) Hit {
		return Hit{Finding: finding.Finding{
			Rule: rule, Values: finding.Values{{Name: "reach", Value: reach}}, Location: finding.Location{Height: height, Radius: radius},
		}}
	}
	stampOne := func(part string, h Hit) string {
		list := []Hit{h}
		stamp(part, list)
		return list[0].Fingerprint
	}
	first := stampOne("", at("hangs", 30, 20, 5))
	assert.Len(t, first, 16)
	assert.Equal(t, first, stampOne("", at("hangs", 30.1, 20.3, 9)), "a little elsewhere and larger is the same finding")
	assert.NotEqual(t, first, stampOne("", at("leans", 30, 20, 5)), "another rule")
	assert.NotEqual(t, first, stampOne("lid", at("hangs", 30, 20, 5)), "another part")
	assert.NotEqual(t, first, stampOne("", at("hangs", 33, 20, 5)), "another height")
	assert.NotEqual(t, first, stampOne("", at("hangs", 30, 30, 5)), "another distance")
}

// TestRoundCoordinatesAreFarFromGridLines holds the reason for the shift of the grid:
// people draw in half millimetres, and a place there must not change its cell when it
// moves by a cell of the layers.
func TestRoundCoordinatesAreFarFromGridLines(t *testing.T) {
	const wobble = 0.2
	for i := range 200 {
		x := float64(i) / 2
		assert.Equal(t, line(x-wobble, gridHeight), line(x+wobble, gridHeight), fmt.Sprint("height ", x))
		if i%2 == 0 {
			assert.Equal(t, line(x-wobble, gridRadius), line(x+wobble, gridRadius), fmt.Sprint("radius ", x))
		}
	}
}

// TestTheToleranceIsHalfTheGrid holds the documented relation to fingerprints.
func TestTheToleranceIsHalfTheGrid(t *testing.T) {
	assert.InDelta(t, gridHeight/2, ruleset.AcceptHeight, 0)
	assert.InDelta(t, gridRadius/2, ruleset.AcceptRadius, 0)
}
