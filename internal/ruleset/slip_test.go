package ruleset

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// slips are texts that are not YAML, with the place that is wrong and a part of the cure.
var slips = []struct{ text, place, says string }{
	{"version: 1\nrules:\n  min-wall:\n    level: note\n   limits: {thickness: 1 mm}\n  flat-base: {level: note}\n", "5:4", "begins with 3 spaces, the lines before it with 4 and 2"},
	{"version: 1\nrules:\n  min-wall:\n     level: note\n    limits: {thickness: 1 mm}\n", "4:6", "begins with 5 spaces, the line below it with 4"},
	{"version: 1\nprocess:\n  nozzle: 0.4 mm\n   line: 0.4 mm\n", "4:4", "begins with 3 spaces, the line above it with 2"},
	{"version: 1\n rules:\n  min-wall: {level: note}\n", "2:2", "begins with 1 space, the line above it with none"},
	{"rules:\n  mine:\n    say: \"leans too far\n    level: note\n  flat-base: {level: note}\n", "3:10", "not closed; put another \" at the end of the text"},
	{"rules:\n  mine:\n    say: \"leans too far\n    level: note\n    because: \"it droops\"\n", "3:10", "not closed"},
	{"rules:\n  mine:\n    say: 'leans too far\n", "3:10", "not closed; put another ' at the end"},
	{"models:\n  include: [\"**/*.stl, '**/*.obj']\n", "2:13", "not closed"},
	{"rules:\n  mine:\n    say: 'it's thin'\n    level: note\n", "3:10", "write two: ''"},
	{"rules:\n  mine:\n    say: \"thin\" wall\n    level: note\n", "3:10", "put all of the text in quotes"},
	{"rules:\n  mine:\n    say: too thin: thicken it\n    level: note\n", "3:10", "has a colon in it; put it in quotes: \"too thin: thicken it\""},
	{"rules:\n  mine: {say: too thin: thicken it, level: note}\n", "2:15", "has a colon in it; put it in quotes: \"too thin: thicken it\""},
	{"waivers:\n  - {path: a.stl, rule: x, reason: asked Tom: fine}\n", "2:36", "put it in quotes: \"asked Tom: fine\""},
	{"rules:\n  mine:\n    say: {height} tall\n    level: note\n", "3:10", "begins with {; put it in quotes: \"{height} tall\""},
	{"rules:\n  min-wall: {level: note\n  flat-base: {level: none}\n", "2:13", "this { is not closed; write } behind what it holds"},
	{"process: {bed: [220 mm, 220 mm, 250 mm}\n", "1:39", "this } closes nothing; the [ of line 1 is still open"},
	{"models: {exclude: [**/*.stl]}\n", "1:20", "begins with *; put it in quotes: \"**/*.stl\""},
	{"models:\n  exclude:\n    - *.stl\n", "3:7", "begins with *; put it in quotes: \"*.stl\""},
	{"places:\n  - paths: - a\n", "2:12", "a list begins on a line of its own"},
	{"process:\n  nozzle 0.4 mm\n  line: 0.4 mm\n", "2:3", "a colon is missing: write nozzle: 0.4 mm"},
	{"process:\n  line: 0.4 mm\n  nozzle 0.4 mm\n", "3:3", "a colon is missing: write nozzle: 0.4 mm"},
	{"process:\n  line: 0.4 mm\n  nozzle:0.4 mm\n", "3:3", "a space is missing: write nozzle: 0.4 mm"},
	{"rules\n  min-wall: {level: note}\n", "1:1", "a colon is missing: write rules:"},
	{"rules:\n  min-wall: {limits: {thickness: 1 mm}}}\n", "2:40", "this } closes nothing; take it away"},
	{"rules: {min-wall: {limits: thickness: 1 mm}}\n", "1:28", "write limits: {thickness: 1 mm}"},
	{"rules:\n  min-wall:\n    limits: thickness: 1 mm\n", "3:13", "write limits: {thickness: 1 mm}"},
	{"rules: min-wall: level: note\n", "1:8", "write rules: {min-wall: {level: note}}"},
	{"places:\n  -paths: [a]\n   rules: {min-wall: {level: note}}\n", "2:3", "a space is missing: write - paths: [a]"},
	{"rules:\n  min-wall：\n    level: note\n", "2:3", "write : in place of ："},
	{"rules:\n\u00a0\u00a0min-wall: {level: note}\n", "2:1", "a space that is none, U+00A0, indents this line"},
	{"process: {nozzle: 0.4mm line: 0.4mm}\n", "1:19", "a comma is missing: write 0.4mm, line: 0.4mm"},
	{"rules: {min-wall: {level: note limits: {thickness: 1 mm}}}\n", "1:27", "a comma is missing: write note, limits:"},
	{"version: 1\nrules:\n\tmin-wall: {level: note}\n", "3:1", "a tab indents this line"},
}

// TestSlipsAreNamed holds that what breaks the YAML of a file is told where it is, with the
// cure, and not where the reader of YAML gave up.
func TestSlipsAreNamed(t *testing.T) {
	for _, c := range slips {
		_, err := loadText(c.text)
		var p *Problems
		require.ErrorAs(t, err, &p, c.text)
		require.Len(t, p.List, 1, c.text)
		assert.Equal(t, c.place, fmt.Sprintf("%d:%d", p.List[0].Line, p.List[0].Column), c.text)
		assert.Contains(t, p.List[0].Text, c.says, c.text)
	}
}

// wholeFiles are files that are YAML.
func wholeFiles(t *testing.T) (out []string) {
	names, err := fs.Glob(frozen, "*.yml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		text, err := fs.ReadFile(frozen, name)
		require.NoError(t, err)
		out = append(out, string(text))
	}
	for _, a := range agreed {
		out = append(out, a.text)
	}
	return append(out, string(example(t)), withPlaces)
}

// TestNoSlipInWhatIsYAML holds that nothing is found in files that are right.
func TestNoSlipInWhatIsYAML(t *testing.T) {
	for _, text := range wholeFiles(t) {
		s := &source{file: "x.yml", lines: strings.Split(text, "\n")}
		at, says := s.slip()
		assert.Empty(t, says, "%v in %s", at, text)
	}
}

// damages are ways in which one line of a file is written wrongly.
func damages(line string) (out []string) {
	text := strings.TrimLeft(line, " ")
	out = append(out, " "+line, strings.TrimPrefix(line, " "), "\t"+text)
	for i := range withoutComment(line) {
		switch {
		case strings.IndexByte("\"':{}[],", line[i]) >= 0:
			out = append(out, line[:i]+line[i+1:])
		case line[i] == ' ' && i > 0 && line[i-1] == ':':
			out = append(out, line[:i]+line[i+1:])
		}
	}
	return out
}

// TestTheDamagedLineIsTheOneNamed moves each line of real files by a space, or takes a quote,
// colon, comma, bracket or blank away: where that breaks the file, the line named is that one,
// in all but a few cases in which the line after it shows it first.
func TestTheDamagedLineIsTheOneNamed(t *testing.T) {
	broken, named := 0, 0
	for _, file := range []string{string(example(t)), frozenSet(t, "standard"), frozenSet(t, "relaxed")} {
		lines := strings.Split(file, "\n")
		for i, line := range lines {
			if text := strings.TrimLeft(line, " "); text == "" || text[0] == '#' {
				continue
			}
			for _, wrong := range damages(line) {
				now := slices.Clone(lines)
				now[i] = wrong
				var doc yaml.Node
				if yaml.Unmarshal([]byte(strings.Join(now, "\n")), &doc) == nil {
					continue
				}
				broken++
				s := &source{file: "x.yml", lines: now}
				if at, says := s.slip(); at.Line == i+1 {
					named++
				} else {
					t.Logf("line %d as %q: line %d named: %s", i+1, wrong, at.Line, says)
				}
			}
		}
	}
	t.Logf("%d of %d", named, broken)
	require.Greater(t, broken, 1000)
	assert.Greater(t, named*100, broken*98)
}

// TestAnyTextIsReadToItsEnd mixes up pieces of files: whatever comes out, the place named lies
// within it.
func TestAnyTextIsReadToItsEnd(t *testing.T) {
	const seed = 15
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	texts := seeds(t)
	pieces := []string{`"`, "'", "{", "}", "[", "]", ":", ": ", "- ", "\n", "\n  ", "#", " #", "|", "> ", "\t", ",", "*", "&", "°", "\\", "\r\n", "\ufeff", "0,4 mm", "---", "? "}
	told := 0
	for range 4000 {
		text := texts[random.IntN(len(texts))]
		if len(text) > 1500 {
			from := random.IntN(len(text) - 1000)
			text = text[from : from+1000]
		}
		for range 1 + random.IntN(4) {
			at := random.IntN(len(text) + 1)
			to := min(len(text), at+random.IntN(9))
			text = text[:at] + pieces[random.IntN(len(pieces))] + text[to:]
		}
		s := &source{file: "x.yml", lines: strings.Split(text, "\n")}
		at, says := s.slip()
		if says == "" {
			continue
		}
		told++
		require.True(t, at.Line >= 1 && at.Line <= len(s.lines) && at.Column >= 1 && at.Column <= utf8.RuneCountInString(s.lines[at.Line-1])+1, "%v in %q", at, text)
	}
	assert.Greater(t, told, 1000)
}

func frozenSet(t *testing.T, name string) string {
	text, err := fs.ReadFile(frozen, name+".yml")
	require.NoError(t, err)
	return string(text)
}
