package cli

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/near"
)

// TestNearest holds that a slip of the finger is understood, and that a word of four
// letters is no slip of every other one.
func TestNearest(t *testing.T) {
	known := []string{"check", "measure", "rules", "explain", "version", "help"}
	for word, want := range map[string]string{
		"chekc": "check", "chck": "check", "rule": "rules", "mesure": "measure", "explian": "explain",
		"check": "check", "frobnicate": "", "x": "", "": "", "expl": "explain", "checks": "check", "hlep": "help", "heap": "help", "halt": "", "nope": "",
	} {
		assert.Equal(t, want, near.Nearest(word, known), word)
	}
}

func TestSizes(t *testing.T) {
	for text, want := range map[string]int64{
		"1B": 1, "2kB": 2000, "3KiB": 3072, "512MiB": 512 << 20, "2 GiB": 2 << 30, "1GB": 1e9,
	} {
		var b bytesValue
		require.NoError(t, b.Set(text), text)
		assert.EqualValues(t, want, b, text)
		var again bytesValue
		require.NoError(t, again.Set(b.String()), b.String())
		assert.Equal(t, b, again)
	}
	for _, text := range []string{"", "12", "GiB", "-1GiB", "0MiB", "1.5GiB", "99999999999GiB", "1TiB"} {
		var b bytesValue
		assert.Error(t, b.Set(text), text)
	}
}

func TestWrap(t *testing.T) {
	text := strings.Repeat("some words of a page\nbroken anywhere ", 20)
	wrapped := wrap(text, "  ")
	assert.Equal(t, strings.Fields(text), strings.Fields(wrapped))
	for _, line := range strings.Split(strings.TrimSuffix(wrapped, "\n"), "\n") {
		assert.LessOrEqual(t, len(line), pageWidth)
		assert.True(t, strings.HasPrefix(line, "  ") && !strings.HasPrefix(line, "   "), line)
	}
	assert.Empty(t, wrap(" \n ", "  "))
	long := strings.Repeat("x", 200)
	assert.Equal(t, "  a\n  "+long+"\n  b\n", wrap("a "+long+" b", "  "))
}

func TestComplaint(t *testing.T) {
	assert.Equal(t, "printlint: a\nprintlint: b\\u001b", complaint(errors.New("a\nb\x1b")))
	assert.Equal(t, "printlint: wrong\nprintlint: try this", complaint(&hinted{errors.New("wrong"), "try this"}))
}

// TestCommandsAreComplete holds what help texts and the hint for unknown commands rely on.
func TestCommandsAreComplete(t *testing.T) {
	looked := map[string]bool{}
	for _, c := range commands() {
		assert.False(t, looked[c.name], c.name)
		looked[c.name] = true
		assert.NotEmpty(t, c.summary, c.name)
		in, do := c.prepare(Env{})
		assert.NotNil(t, do, c.name)
		assert.Contains(t, in.usage(), c.summary)
		assert.Contains(t, overview(), c.summary)
	}
}
