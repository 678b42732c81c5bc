package cli

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCompletionsNameEverything holds that the script for each shell, and the manual page,
// name every command, flag and word that a flag takes.
func TestCompletionsNameEverything(t *testing.T) {
	list := completions()
	require.Len(t, list, len(commands()))
	for _, s := range shells {
		text := s.write(list)
		for _, c := range list {
			assert.Contains(t, text, c.name, s.name)
			for _, f := range c.flags {
				assert.Regexp(t, `(--|-l |')`+f.name+`\b`, text, s.name)
				for _, w := range f.words {
					assert.Contains(t, text, w, s.name)
				}
			}
		}
		assert.NotContains(t, text, "\r")
		assert.True(t, strings.HasSuffix(text, "\n"))
	}
	of := func(name string) []string {
		return list[slices.IndexFunc(list, func(c completed) bool { return c.name == name })].words
	}
	assert.Contains(t, of("rules"), "max-bridge-length", "rules takes the name of a rule")
	assert.NotContains(t, of("rules"), "bridge")
	assert.Contains(t, of("explain"), "bridge", "explain takes that of a measure too")
}

// TestManualNamesEverything holds the page for man likewise, and that no line of text is
// taken for a macro.
func TestManualNamesEverything(t *testing.T) {
	text := manual()
	for _, c := range completions() {
		assert.Contains(t, text, "\n.SS "+roff(c.name), c.name)
		for _, f := range c.flags {
			assert.Contains(t, text, roff("--"+f.name)+`\fR`, c.name)
		}
	}
	macros := 0
	for _, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			macros++
			assert.Regexp(t, `^\.(TH|SH|SS|PP|TP|B|I|nf|fi)\b`, line)
		}
	}
	assert.Greater(t, macros, 50)
	assert.Equal(t, `\&.printlint.yml \- a\eb`, roff(".printlint.yml - a\\b"))
}
