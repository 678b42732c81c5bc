package ruleset

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// scalarOf reads one scalar, the value of key x, from a file's text.
func scalarOf(t *testing.T, file string) text {
	t.Helper()
	c := &complaints{}
	src := &source{file: "f.yml"}
	root := src.parse([]byte(file), c)
	require.NoError(t, c.err(), "%q", file)
	value := child(root, "x")
	require.NotNil(t, value, "%q", file)
	return text{value.Value, src, value}
}

// TestPlacesInText writes random words in every style YAML has, by a library's own
// encoder, and looks each letter of the value up again: at the place found must stand
// that letter.
func TestPlacesInText(t *testing.T) {
	seed := uint64(4)
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	letters := []rune("abcdefghijklmnopqrstuvwxyzäß>()*0.5")
	checked := 0
	for range 600 {
		var words []string
		for range 1 + random.IntN(30) {
			word := make([]rune, 1+random.IntN(8))
			for i := range word {
				word[i] = letters[random.IntN(len(letters))]
			}
			words = append(words, string(word))
		}
		value := strings.Join(words, " ")
		for _, style := range []yaml.Style{0, yaml.DoubleQuotedStyle, yaml.SingleQuotedStyle, yaml.LiteralStyle, yaml.FoldedStyle} {
			file := encode(t, value, style)
			got := scalarOf(t, file)
			require.Equal(t, value, strings.TrimSpace(got.value), "%q", file)
			lines := strings.Split(file, "\n")
			for offset, want := range got.value {
				if want == ' ' || want == '\n' {
					continue
				}
				p := got.at(offset)
				require.Equal(t, want, []rune(lines[p.Line-1])[p.Column-1], "%q of %q at %v", string(want), file, p)
				checked++
			}
		}
	}
	assert.Greater(t, checked, 100_000)
}

// encode writes the value as the second of three keys, so that lines before and after
// could be mistaken for it.
func encode(t *testing.T, value string, style yaml.Style) string {
	word := func(s string, style yaml.Style) *yaml.Node {
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s, Style: style}
	}
	out, err := yaml.Marshal(&yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{
		word("a", 0), word(value, 0), word("x", 0), word(value, style), word("z", 0), word(value, 0),
	}})
	require.NoError(t, err)
	return string(out)
}

// TestPlacesWithEscapes holds that where an escape hides the way, the scalar's own
// beginning is named and no wrong place.
func TestPlacesWithEscapes(t *testing.T) {
	for file, want := range map[string]Position{
		`x: "a\u0062c wrong"`:         {"f.yml", 1, 4},
		"x: \"a \\\n  wrong\"":        {"f.yml", 1, 4},
		`x: 'it''s wrong'`:            {"f.yml", 1, 11},
		"x:   wrong":                  {"f.yml", 1, 6},
		"x:\n  wrong":                 {"f.yml", 2, 3},
		"x: >2-\n    a\n   wrong":     {"f.yml", 3, 4},
		"x: |+ # why\n  a\n\n  wrong": {"f.yml", 4, 3},
		"{x: a wrong}":                {"f.yml", 1, 7},
		"x: ääää wrong":               {"f.yml", 1, 9},
	} {
		got := scalarOf(t, file)
		offset := strings.Index(got.value, "wrong")
		require.GreaterOrEqual(t, offset, 0, "%q", file)
		assert.Equal(t, want, got.at(offset), "%q", file)
	}
	got := scalarOf(t, "x: abc\ny: abc")
	assert.Equal(t, Position{"f.yml", 1, 7}, got.at(3), "the end of the text is behind its last letter")
}
