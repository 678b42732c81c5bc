package report

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// payload is a name that tries everything at once: a terminal's title, a line of its
// own with a workflow command, a tag, a cell, a code span, a link, a turned direction
// of writing, the end of a CDATA section, a placeholder and a mention.
const payload = "::error ::a\x1b]0;t\x07\r\n::set-output name=x::y\n<script>alert(1)</script>|`b`[c](http://evil.example)\u202eexe.\u2066]]>{0}@all%0A::warning::z\x00\xff\uFFFE"

// hostileReport has the payload wherever a stranger's words can stand.
func hostileReport() *finding.Report {
	f := finding.Finding{Rule: payload, Level: finding.Error, Message: payload, Advice: payload, Line: 3, Triangle: 1,
		Values: finding.Values{}, Limits: finding.Values{}, Fingerprint: "00"}
	waived := f
	waived.Waived = &finding.Waived{Reason: payload, Until: payload}
	note := f
	note.Level = finding.Note
	return &finding.Report{
		Tool:    finding.Tool{Name: "printlint", Version: "1"},
		Rules:   finding.RuleSet{Config: payload, Sets: []string{payload}, Rules: []finding.Rule{{ID: payload, Level: finding.Error, Because: payload, Do: payload, Source: payload, Limits: []string{payload}}}},
		Summary: finding.Summary{Models: 4, Error: 1, Note: 1, Waived: 1, Unreadable: 1},
		Models: []finding.Model{
			{Path: payload, Part: payload, Kind: "3mf", Status: finding.Checked, Notes: []string{payload}, Findings: []finding.Finding{f, waived, note}, Advice: hostileAdvice()},
			{Path: "a.zip!/" + payload, Status: finding.Unreadable, Reason: payload, Line: 4},
			{Path: payload, Status: finding.Skipped, Reason: payload},
			{Path: "plain.stl", Status: finding.Checked},
			{Path: payload, Kind: finding.KindConfig, Status: finding.Checked, Notes: []string{payload}},
		},
	}
}

// hostileAdvice has it in all that is advised to change in the shape.
func hostileAdvice() *finding.Advice {
	pose := finding.Pose{Words: payload, Costs: []string{payload}}
	return &finding.Advice{
		Words: payload, Poses: []finding.Pose{pose},
		Choices: []finding.Choice{{Kind: "turn", Words: payload, Work: []string{payload}}, {Kind: payload}},
		Cut:     &finding.Cut{Words: payload, Caution: payload, Pose: pose},
		Split:   &finding.Split{Words: payload, Caution: payload, Planes: []finding.Plane{{}}, Pieces: []finding.Piece{{Pose: pose}}},
		Edits:   &finding.Edits{Words: payload, Caution: payload, Pose: pose, List: []finding.Edit{{Words: payload}, {Words: payload, Rules: []string{payload}}}},
	}
}

// TestEveryFormatIsHarmless holds for every format there is, so for new ones too, that
// nothing in a name acts on a terminal, begins a line of its own, or stays unreadable
// text; and for the formats that programs read, that nothing becomes more than text.
func TestEveryFormatIsHarmless(t *testing.T) {
	var seen []string
	for _, format := range Formats() {
		var out bytes.Buffer
		require.NoError(t, Write(&out, format, hostileReport(), Options{Exit: 1}))
		text := out.String()
		assert.True(t, utf8.ValidString(text), format)
		for _, line := range strings.Split(text, "\n") {
			assert.Equal(t, -1, strings.IndexFunc(strings.TrimLeft(line, "\t"), words.Hidden), "%s: %q", format, line)
			if format != "github" {
				assert.False(t, strings.HasPrefix(strings.TrimSpace(line), "::"), "%s: a workflow would obey a line that begins with the name; begin it with a word of the program's own: %q", format, line)
			}
		}
		if format == "text" { // holds to the above and has no grammar to break out of
			continue
		}
		if check := harmless[format]; assert.NotNil(t, check, "say in harmless what a name must not become in %s", format) {
			check(t, text)
			seen = append(seen, format)
		}
	}
	assert.Len(t, seen, len(harmless), "every check is of a format that there is")
}

// harmless are the checks of each format's own; plain text has none.
var harmless = map[string]func(*testing.T, string){
	"json":          func(t *testing.T, s string) { assert.True(t, json.Valid([]byte(s))) },
	"sarif":         harmlessSARIF,
	"code-scanning": harmlessSARIF,
	"junit":         harmlessJUnit,
	"github":        harmlessAnnotations,
	"markdown":      harmlessMarkdown,
	"html":          func(t *testing.T, s string) { assert.NotContains(t, s, "<script>alert") },
}

// harmlessSARIF holds that no message carries a link and no address a command.
func harmlessSARIF(t *testing.T, s string) {
	messages := 0
	for _, m := range regexp.MustCompile(`"(?:text|markdown|justification)": ("(?:[^"\\]|\\.)*")`).FindAllStringSubmatch(s, -1) {
		messages++
		assert.NotContains(t, m[1], "](")
	}
	assert.Greater(t, messages, 5)
	var log sarifLog
	require.NoError(t, json.Unmarshal([]byte(s), &log))
	for _, a := range log.Runs[0].Artifacts {
		assert.Regexp(t, `^[A-Za-z0-9%/._~!$&'()*+,;=@-]*$`, a.Location.URI)
	}
	for _, r := range log.Runs[0].Tool.Driver.Rules {
		assert.NotContains(t, r.Help.Markdown, "<script")
	}
}

// harmlessJUnit holds that the cases are those that were meant, and that text is text.
func harmlessJUnit(t *testing.T, s string) {
	var suites struct {
		Suites []struct {
			Cases []struct {
				Failure, Error, Skipped *struct {
					Message string `xml:"message,attr"`
				}
			} `xml:"testcase"`
		} `xml:"testsuite"`
	}
	require.NoError(t, xml.Unmarshal([]byte(s), &suites))
	var cases []int
	for _, suite := range suites.Suites {
		cases = append(cases, len(suite.Cases))
	}
	assert.Equal(t, []int{2, 1, 1, 1, 1}, cases)
	assert.NotContains(t, strings.ReplaceAll(s, "]]]]><![CDATA[>", ""), "<script>alert(1)</script>|`b`[c](http://evil.example)\u202e")
	assert.NotContains(t, s, "\uFFFE")
}

// harmlessAnnotations reads commands as a workflow's runner does: those that were meant,
// one a line, and none within another.
func harmlessAnnotations(t *testing.T, s string) {
	lines := strings.Split(strings.TrimSuffix(s, "\n"), "\n")
	require.Len(t, lines, 6)
	for i, want := range []string{"error", "error", "notice", "notice"} {
		c := regexp.MustCompile(`^::([a-z]+) ([^:]*)::(.*)$`).FindStringSubmatch(lines[i])
		require.NotNil(t, c, lines[i])
		assert.Equal(t, want, c[1])
		for _, p := range strings.Split(c[2], ",") {
			assert.Regexp(t, `^(file|line|title)=[^:,\r\n]*$`, p)
		}
	}
	assert.Regexp(t, `^4 models: `, lines[4])
}

// harmlessMarkdown holds that a row has the cells of its table and text no markup.
func harmlessMarkdown(t *testing.T, s string) {
	for _, tag := range regexp.MustCompile(`</?[a-z]+>?`).FindAllString(s, -1) {
		assert.Contains(t, []string{"<code>", "</code>", "<details>", "</details>", "<summary>", "</summary>"}, tag)
	}
	for _, mark := range []string{"`", "](", "http:", "@all", "\\"} {
		assert.NotContains(t, s, mark)
	}
	cells := 0
	for _, line := range strings.Split(s, "\n") {
		if !strings.HasPrefix(line, "|") {
			cells = 0
			continue
		}
		if n := strings.Count(line, "|"); cells == 0 {
			cells = n
		} else {
			assert.Equal(t, cells, n, line)
		}
	}
}
