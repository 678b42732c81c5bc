package pathname

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

func TestShown(t *testing.T) {
	for p, want := range map[string]string{
		"a/b.stl": "a/b.stl", `back\slash.stl`: `back\slash.stl`, "Möhre\uFFFD!.stl": "Möhre\uFFFD!.stl", `\x`: `\x`, `\xyz`: `\xyz`,
		"a\xff.stl": `a\xff.stl`, `a\xff.stl`: `a\\xff.stl`, "a\\\xff": `a\\\xff`, "plate.3mf!/x.stl": `plate.3mf\x21/x.stl`,
		"a\xc3\x28": `a\xc3(`, "!": "!", "!/": `\x21/`,
	} {
		assert.Equal(t, want, Shown(p), "%q", p)
	}
}

// TestShownKeepsPathsApart holds that no two paths are shown alike, in JSON either.
func TestShownKeepsPathsApart(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 1))
	letters := []string{"a", `\`, "x", "2", "1", "!", "/", "f", "\xff", "\xfe", "\uFFFD", "ö", "\xc3"}
	from := map[string]string{}
	for range 200_000 {
		var b strings.Builder
		for range 1 + r.IntN(7) {
			b.WriteString(letters[r.IntN(len(letters))])
		}
		p := b.String()
		shown := Shown(p)
		if was, ok := from[shown]; ok {
			require.Equal(t, was, p, "both are shown as %q", shown)
		}
		from[shown] = p
		require.NotContains(t, shown, Inside)
	}
	for shown := range from {
		data, err := json.Marshal(shown)
		require.NoError(t, err)
		var back string
		require.NoError(t, json.Unmarshal(data, &back))
		require.Equal(t, shown, back)
	}
}
