package near

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNear(t *testing.T) {
	known := []string{"angle", "area", "drop", "ledge", "reach", "z", "limits.angle"}
	for word, want := range map[string]string{
		"angel": "angle", "angl": "angle", "Angle": "angle", "raech": "reach", "reahc": "reach", "arae": "area", "rea": "area",
		"legde": "ledge", "limit.angle": "limits.angle", "zz": "z", "leaning": "", "": "z", "thickness": "",
	} {
		got := Hint(word, known)
		if want == "" {
			assert.Equal(t, " (known here: angle, area, drop, ledge, limits.angle, reach, z)", got, word)
			continue
		}
		assert.Equal(t, ` (did you mean "`+want+`"?)`, got, word)
	}
	assert.Equal(t, "", Hint("x", nil))
	assert.Equal(t, "", Hint("entirely", strings.Fields(strings.Repeat("abcdefgh ", maxListed+1))), "too many to list")
	assert.Equal(t, ` (did you mean "max-overhang-angle"?)`, Hint("max-overhang", []string{"max-overhang-angle", "min-wall"}))
	assert.NotContains(t, Hint("max", []string{"max-overhang-angle", "max-bridge-length"}), "did you mean")
}

// TestEdits holds the distance between words to the laws of one.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"a", "", 1}, {"abc", "abc", 0}, {"abc", "acb", 1}, {"abc", "abd", 1}, {"abc", "ab", 1}, {"abc", "xabc", 1},
		{"kitten", "sitting", 3}, {"level", "levels", 1}, {"untill", "until", 1}, {"ca", "abc", 3},
	} {
		assert.Equal(t, c.want, edits(c.a, c.b), "%s %s", c.a, c.b)
		assert.Equal(t, c.want, edits(c.b, c.a), "%s %s", c.b, c.a)
	}
	long := strings.Repeat("a", 100)
	assert.Equal(t, 200, edits(long, long), "long words are not worth comparing")
}
