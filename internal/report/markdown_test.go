package report

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

func markdownOf(t *testing.T, r *finding.Report, opt Options) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, "markdown", r, opt))
	return out.String()
}

// TestMarkdownFits holds the cap of a job summary, and that what is left out is told of
// to the last finding.
func TestMarkdownFits(t *testing.T) {
	r := shelf(6000)
	text := markdownOf(t, r, Options{Exit: 2})
	assert.LessOrEqual(t, len(text), maxSummary)
	assert.Greater(t, len(text), maxSummary*9/10, "it is used")
	more := regexp.MustCompile(`\*\*and (\d+) findings more on (\d+) models:\*\*`).FindStringSubmatch(text)
	require.NotNil(t, more)
	left, err := strconv.Atoi(more[1])
	require.NoError(t, err)
	shown := strings.Count(text, "| <code>r-")
	const inTable = 3 // rules, summed up
	assert.Equal(t, 6*5999+inTable, shown+left)
	assert.Contains(t, text, "### Could not be judged", "never crowded out")
	assert.True(t, strings.HasSuffix(text, closing()), "the cautions stay")
}

// TestMarkdownFitsWithoutJudgement holds the cap where nothing could be judged, and
// where everything is waived.
func TestMarkdownFitsWithoutJudgement(t *testing.T) {
	long := strings.Repeat("why & how ", 100)
	r := &finding.Report{}
	for i := range 3000 {
		m := finding.Model{Path: fmt.Sprintf("m%d.stl", i), Status: finding.Unreadable, Reason: long}
		if i%2 == 1 {
			m = finding.Model{Path: m.Path, Status: finding.Checked, Findings: []finding.Finding{{Rule: "r", Level: finding.Error, Waived: &finding.Waived{Reason: long}}}}
		}
		r.Models = append(r.Models, m)
	}
	text := markdownOf(t, r, Options{Exit: 2})
	assert.LessOrEqual(t, len(text), maxSummary)
	assert.Regexp(t, `and \d+ more models; the summary is full`, text)
	assert.Contains(t, text, "<summary>1500 accepted in writing</summary>", "half of the room is left for the rest")
	assert.Equal(t, strings.Count(text, "<details>"), strings.Count(text, "</details>"))
	assert.True(t, strings.HasSuffix(text, closing()))
}

// TestMarkdownOneBrokenMesh holds that one model cannot fill the summary: not by the places
// of one rule, and not by the number of rules.
func TestMarkdownOneBrokenMesh(t *testing.T) {
	text := markdownOf(t, manyFindings(5000), Options{})
	assert.Equal(t, 2*6, strings.Count(text, "<code>r</code> |\n"))
	assert.Contains(t, text, "the worst of 4495 other places")
	many := manyFindings(5000)
	for i := range many.Models[0].Findings {
		many.Models[0].Findings[i].Rule = fmt.Sprintf("r%d", i%100)
	}
	text = markdownOf(t, many, Options{})
	assert.Equal(t, maxRows, strings.Count(text, "</code> |\n"))
	assert.Contains(t, text, " more on this model; see the report")
}

// TestMarkdownVerdict holds the first line, which is all that some read.
func TestMarkdownVerdict(t *testing.T) {
	clean := &finding.Report{Summary: finding.Summary{Models: 1, Clean: 1}}
	noted := &finding.Report{Summary: finding.Summary{Models: 1, Clean: 1, Noted: 1, Note: 2}}
	warned := &finding.Report{Summary: finding.Summary{Models: 1, Warning: 1}}
	for _, c := range []struct {
		r    *finding.Report
		exit int
		want string
	}{
		{clean, 0, "fine"}, {noted, 0, "fine"}, {warned, 0, "findings, none that stops this run"}, {warned, 1, "findings that fail"},
		{gateSample(), 2, "not all could be judged"},
	} {
		first, _, _ := strings.Cut(markdownOf(t, c.r, Options{Exit: c.exit}), "\n")
		assert.Equal(t, "## Models: "+c.want, first)
	}
}

// TestMarkdownWorstFirst holds the order of models, by their worst finding.
func TestMarkdownWorstFirst(t *testing.T) {
	text := markdownOf(t, gateSample(), Options{})
	last := -1
	for _, name := range []string{"> <code>.printlint.yml</code>: the rules", "### Could not", "#### <code>parts/hook.stl</code>", "\n#### <code>.printlint.yml</code>\n", "only 0.1 mm high", "<summary>1 accepted", "### Cautions"} {
		at := strings.Index(text, name)
		assert.Greater(t, at, last, name)
		last = at
	}
}

func TestMarkdownText(t *testing.T) {
	for in, want := range map[string]string{
		"plain, (1.5) - 20 %":      "plain, (1.5) - 20 %",
		"a|b`c`*d*_e_":             "a&#124;b&#96;c&#96;&#42;d&#42;&#95;e&#95;",
		"<b>&amp;":                 "&#60;b&#62;&#38;amp;",
		"[x](y) #1 @all ~s~ $m$":   "&#91;x&#93;(y) &#35;1 &#64;all &#126;s&#126; &#36;m&#36;",
		"HTTPS://a www.b mailto:c": "HTTPS&#58;//a www&#46;b mailto&#58;c",
		"two\nlines":               "two&#92;u000alines",
	} {
		assert.Equal(t, want, markdownText(in))
	}
}
