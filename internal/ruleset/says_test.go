package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestSays holds which values a message tells: each once, in its order, and no limits.
func TestSays(t *testing.T) {
	assert.Equal(t, []string{"reach", "angle"}, ruleSaying(t, "overhang", "reach: 2 mm", "reaches {reach} at {angle}, more than {limits.reach}: {reach}").Says())
	assert.Empty(t, ruleSaying(t, "overhang", "reach: 2 mm", "reaches far").Says())
}
