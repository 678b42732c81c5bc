package report

import (
	"bufio"
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

var update = flag.Bool("update", false, "write the golden files anew")

// renew says how a golden file comes to be what is written now.
const renew = "if it is meant so, run go test ./internal/report -update and read the difference"

// sample is a run with one of everything.
func sample() *finding.Report {
	overhang := finding.Finding{
		Rule: "max-overhang-angle", Level: finding.Error,
		Message: "underside leans 90 deg from vertical and reaches 20.0 mm past anything that carries it",
		Advice:  "lay the model on another face, or let it have support there",
		Line:    212, Triangle: 30, At: [3]float64{24, 5.125, -0.001},
		Box:         [2][3]float64{{20, 0, 12}, {40, 10, 12}},
		Values:      finding.Values{{Name: "angle", Unit: "deg", Value: 90}, {Name: "reach", Unit: "mm", Value: 20}},
		Limits:      finding.Values{{Name: "angle", Unit: "deg", Value: 45}, {Name: "reach", Unit: "mm", Value: 2}},
		Fingerprint: "00112233aabbccdd",
	}
	second := overhang
	second.Line, second.Triangle, second.Level, second.Message = 240, 44, finding.Warning, "again"
	waived := overhang
	waived.Waived = &finding.Waived{Kind: finding.ByWaiver, File: ".printlint.yml", Reason: "printed many times", Until: "2030-01-31"}
	binary := overhang
	binary.Line, binary.Bytes = 0, &finding.Bytes{Offset: 1534, Length: 50}
	wholeModel := finding.Finding{Rule: "plausible-size", Level: finding.Note, Message: "only 0.1 mm high", Values: finding.Values{}, Limits: finding.Values{}}
	hidden := finding.Finding{Rule: "house", Level: finding.None, Message: "counted nowhere", Values: finding.Values{}, Limits: finding.Values{}}
	return &finding.Report{
		Format: finding.Format,
		Tool:   finding.Tool{Name: "printlint", Version: "1"},
		Rules:  finding.RuleSet{Digest: "abc", Sets: []string{"standard"}},
		Summary: finding.Summary{
			Models: 5, Fail: 2, Clean: 2, Noted: 1, Error: 2, Warning: 1, Note: 1, Waived: 1, Unreadable: 1,
		},
		Models: []finding.Model{
			{Path: "parts/broken.stl", Status: finding.Unreadable, Reason: "the file ends within triangle 3; export it again", Line: 7, Findings: []finding.Finding{}},
			{Path: "parts/good.stl", Kind: "stl", Status: finding.Checked, Triangles: 12, Notes: []string{"24 bytes follow the last triangle"},
				Measures: finding.MeasuresOf([]finding.MeasureValues{{Name: "size", Values: finding.Values{{Name: "x", Unit: "mm", Value: 20}}}}), Findings: []finding.Finding{waived, hidden}},
			{Path: "parts/hook.stl", Kind: "stl-ascii", Status: finding.Checked, Triangles: 60, Findings: []finding.Finding{overhang, second}},
			{Path: "parts/old.stl", Status: finding.Skipped, Reason: "excluded by models.exclude in the configuration", Findings: []finding.Finding{}},
			{Path: "parts/plate.3mf", Part: "lid", Kind: "3mf", Status: finding.Checked, Triangles: 12, Findings: []finding.Finding{binary}},
			{Path: "parts/tiny\x1b[2J\u202egood.stl", Kind: "stl", Status: finding.Checked, Triangles: 12, Findings: []finding.Finding{wholeModel}},
		},
	}
}

// TestGolden compares each format with what is kept, and fails on kept files that no
// case produced.
func TestGolden(t *testing.T) {
	cases := map[string]struct {
		format string
		opt    Options
	}{
		"text.golden":        {"text", Options{}},
		"text-colour.golden": {"text", Options{Colour: true}},
		"text-quiet.golden":  {"text", Options{Quiet: true}},
		"report.json":        {"json", Options{}},
	}
	kept, err := filepath.Glob("testdata/*.*")
	require.NoError(t, err)
	for name, c := range cases {
		var out bytes.Buffer
		require.NoError(t, Write(&out, c.format, sample(), c.opt))
		path := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.MkdirAll("testdata", 0o777))
			require.NoError(t, os.WriteFile(path, out.Bytes(), 0o666))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err, renew)
		assert.Equal(t, string(want), out.String(), "%s: %s", name, renew)
		kept = slices.DeleteFunc(kept, func(k string) bool { return k == path })
	}
	assert.Empty(t, kept, "golden files that no case produces")
}

func TestJSONReadsBack(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, Write(&out, "json", sample(), Options{}))
	var back finding.Report
	require.NoError(t, json.Unmarshal(out.Bytes(), &back))
	assert.Equal(t, sample().Models[5].Path, back.Models[5].Path, "escapes are read back")
	assert.Equal(t, sample().Models[2].Findings[0].At, back.Models[2].Findings[0].At)
	assert.NotContains(t, out.String(), "\u202e")
}

func TestUnknownFormat(t *testing.T) {
	err := Write(&bytes.Buffer{}, "pdf", sample(), Options{})
	assert.EqualError(t, err, `no format is called "pdf"; there are `+strings.Join(Formats(), ", "))
}

func TestNothingButCleanModels(t *testing.T) {
	r := &finding.Report{Summary: finding.Summary{Models: 1, Clean: 1}, Models: []finding.Model{{Path: "a.stl", Status: finding.Checked}}}
	var out bytes.Buffer
	require.NoError(t, Write(&out, "text", r, Options{}))
	assert.Equal(t, "1 model: 1 fine\nrules: the built-in set standard; no .printlint.yml at or above the models\n"+words.Caution+"\n", out.String())
	out.Reset()
	require.NoError(t, Write(&out, "text", r, Options{Quiet: true}))
	assert.Empty(t, out.String())
}

func TestSafe(t *testing.T) {
	for in, want := range map[string]string{
		"plain Ümlaut 名前 🙂.stl": "plain Ümlaut 名前 🙂.stl",
		"a\nb\tc\x1b[31m":       `a\u000ab\u0009c\u001b[31m`,
		"x\u202ely\u2066":       `x\u202ely\u2066`,
		"zero\u200bwidth\ufeff": `zero\u200bwidth\ufeff`,
		"bad\xffutf\xc3":        `bad\xffutf\xc3`,
		"kept \uFFFD":           "kept \uFFFD",
		"tag\U000E0041":         `tag\udb40\udc41`,
		"line\u2028sep":         `line\u2028sep`,
	} {
		assert.Equal(t, want, words.Safe(in))
	}
}

func TestSafeLines(t *testing.T) {
	assert.Equal(t, "a\nb\\u001bc\n", words.SafeLines("a\nb\x1bc\n"))
}

// laidOutAs lays out compact JSON.
func laidOutAs(t *testing.T, src string, depth int) string {
	t.Helper()
	var b bytes.Buffer
	l := &laidOut{out: bufio.NewWriter(&b), depth: depth}
	l.add([]byte(src))
	require.NoError(t, l.end())
	return b.String()
}

func TestLayOut(t *testing.T) {
	for _, c := range []struct {
		depth    int
		in, want string
	}{
		{0, `{"a":[1,2],"b":{}}`, `{"a": [1, 2], "b": {}}`},
		{1, `{"a":[1,2],"b":{}}`, "{\n  \"a\": [1, 2],\n  \"b\": {}\n}"},
		{2, `{"a":[{"x":1},2]}`, "{\n  \"a\": [\n    {\"x\": 1},\n    2\n  ]\n}"},
		{3, `{"s":"{,:[\"\\"}`, "{\n  \"s\": \"{,:[\\\"\\\\\"\n}"},
		{9, `[[],{}]`, "[\n  [],\n  {}\n]"},
	} {
		assert.Equal(t, c.want+"\n", laidOutAs(t, c.in, c.depth))
	}
}

// TestEveryFormatHasItsOwnName holds what help texts and --format rely on.
func TestEveryFormatHasItsOwnName(t *testing.T) {
	names := Formats()
	require.NotEmpty(t, names)
	sorted := slices.Sorted(slices.Values(names))
	assert.Len(t, slices.Compact(sorted), len(names))
	for _, n := range names {
		assert.Equal(t, strings.ToLower(n), n)
	}
}
