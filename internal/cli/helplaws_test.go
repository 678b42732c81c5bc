package cli

import (
	"math/rand/v2"
	"printlint/internal/catalog"
	"printlint/internal/lint"
	"printlint/internal/measure"
	"printlint/internal/reading"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
)

// TestHelpReadsAlike holds the help texts to one look: lines that fit a terminal, flags
// in words that begin small and end without a full stop, a unit or choice named where a
// flag takes one, and a mention of every flag that the longer text speaks of.
func TestHelpReadsAlike(t *testing.T) {
	spoken := regexp.MustCompile(`--[a-z][a-z-]*`)
	for _, c := range commands() {
		in, _ := c.prepare(Env{})
		text := in.usage()
		for _, line := range strings.Split(text, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 88, "%s: %s", c.name, line)
			assert.Equal(t, strings.TrimRight(line, " \t"), line, c.name)
		}
		first, _ := utf8.DecodeRuneInString(c.summary)
		assert.True(t, unicode.IsLower(first), "%s: %s", c.name, c.summary)
		assert.NotRegexp(t, `\.$`, c.summary, c.name)
		in.flags.VisitAll(func(f *pflag.Flag) {
			_, does := pflag.UnquoteUsage(f)
			assert.Regexp(t, `^[a-z].*[^.]$`, does, "%s --%s", c.name, f.Name)
			assert.Contains(t, text, "--"+f.Name, c.name)
		})
		for _, name := range spoken.FindAllString(c.detail, -1) {
			known := in.flags.Lookup(name[2:]) != nil || elsewhere(c.name, name[2:])
			assert.True(t, known, "the help of %s speaks of %s, which is no flag", c.name, name)
		}
	}
}

// elsewhere reports whether another command has a flag of that name, which a help text
// may point to.
func elsewhere(command, flag string) bool {
	for _, c := range commands() {
		if c.name == command {
			continue
		}
		if in, _ := c.prepare(Env{}); in.flags.Lookup(flag) != nil {
			return true
		}
	}
	return false
}

// TestOneFlagOneMeaning holds that a flag of the same name says and takes the same in
// every command, so that what was learnt once holds everywhere. The formats differ, and so
// does what is written.
func TestOneFlagOneMeaning(t *testing.T) {
	differ := map[string]bool{"format": true, "out": true}
	looked := map[string]string{}
	for _, c := range commands() {
		in, _ := c.prepare(Env{})
		in.flags.VisitAll(func(f *pflag.Flag) {
			if differ[f.Name] {
				return
			}
			says := flagUsage(f)
			if before, again := looked[f.Name]; again {
				assert.Equal(t, before, says, "%s --%s", c.name, f.Name)
			}
			looked[f.Name] = says
		})
	}
	assert.Greater(t, len(looked), 15)
}

// TestWrapKeepsEveryWord lays random text out: no word is lost, moved or changed, no line
// is too long unless it is one word, and none could have taken the next word as well.
func TestWrapKeepsEveryWord(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 11))
	for range 500 {
		var words []string
		for range r.IntN(60) {
			words = append(words, strings.Repeat(string([]rune("aé文.")[r.IntN(4)]), 1+r.IntN(1+r.IntN(100))))
		}
		gaps := []string{" ", "\n", "  \t", "\n\n"}
		var text strings.Builder
		for _, w := range words {
			text.WriteString(gaps[r.IntN(len(gaps))] + w)
		}
		indent := strings.Repeat(" ", r.IntN(9))
		out := wrap(text.String(), indent)
		assert.Equal(t, strings.Join(words, " "), strings.Join(strings.Fields(out), " "))
		lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
		for i, line := range lines {
			length := utf8.RuneCountInString(line)
			assert.True(t, length <= pageWidth || len(strings.Fields(line)) == 1, line)
			assert.True(t, strings.HasPrefix(line, indent) || len(words) == 0, line)
			if i+1 < len(lines) {
				next := strings.Fields(lines[i+1])[0]
				assert.Greater(t, length+1+utf8.RuneCountInString(next), pageWidth, "%q could have taken %q", line, next)
			}
		}
	}
}

// sentences is a text without the command lines in it, which are set in.
func sentences(text string) string {
	return regexp.MustCompile(`(?m)^ .*$`).ReplaceAllString(text, "")
}

// TestPagesAreReadWithEase holds what explain and help print to what docs/words.md promises.
// Names, limits and figures are no sentences and are left out of the grade.
func TestPagesAreReadWithEase(t *testing.T) {
	for _, list := range [][]catalog.Measure{measure.Catalog(), advice} {
		for _, m := range list {
			assert.LessOrEqual(t, reading.Grade(m.Doc), 9.0, m.Name)
			for _, text := range []string{m.Doc, m.Title} {
				assert.Empty(t, reading.Unwelcome(text), "%s: %s", m.Name, text)
			}
			for _, v := range append(slices.Clone(m.Values), m.Model...) {
				assert.Empty(t, reading.Unwelcome(v.Doc), "%s.%s: %s", m.Name, v.Name, v.Doc)
			}
		}
	}
	for _, own := range lint.OwnRules() {
		assert.LessOrEqual(t, reading.Grade(own.Because), 8.0, own.ID)
		assert.LessOrEqual(t, reading.Grade(own.Do), 7.0, own.ID)
		assert.Empty(t, reading.Unwelcome(own.Because+own.Do), own.ID)
	}
	for _, c := range commands() {
		assert.Empty(t, reading.Unwelcome(c.summary+" "+c.detail), c.name)
		assert.LessOrEqual(t, reading.Grade(sentences(c.detail)), 9.0, c.name)
	}
}
