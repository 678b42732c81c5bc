package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

func textOf(t *testing.T, format string, r *finding.Report, opt Options) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, format, r, opt))
	return out.String()
}

// TestASelectionHidesAndSaysSo holds that what is not asked about is left out, with its cure
// and advice, while the totals stay and a line tells of it, also where only findings are
// wanted.
func TestASelectionHidesAndSaysSo(t *testing.T) {
	const hidden = "not shown, as asked: 3 errors, 2 warnings, 1 note in 5 files; they count all the same"
	warnings := Selection{Level: finding.Note, Rules: []string{"stale-waiver"}}
	for _, format := range []string{"text", "markdown"} {
		all := textOf(t, format, gateSample(), Options{})
		assert.NotContains(t, all, "not shown")
		got := textOf(t, format, gateSample(), Options{Show: warnings})
		assert.Contains(t, got, hidden, format)
		assert.Contains(t, got, "a.stl should go")
		assert.NotContains(t, got, "carries it")
		assert.NotContains(t, got, "412 mm2", "advice on what is not shown")
		assert.Contains(t, got, "2 would fail", "what decides")
		assert.Contains(t, got, "torn.stl", "what could not be judged")
		errors := textOf(t, format, gateSample(), Options{Show: Selection{Level: finding.Error}})
		assert.Contains(t, errors, "not shown, as asked: 3 warnings, 1 note in 4 files")
		assert.NotContains(t, errors, "again,")
	}
	assert.Contains(t, textOf(t, "text", gateSample(), Options{Quiet: true, Show: warnings}), "not shown, as asked")
	for _, format := range Formats() {
		if format != "text" && format != "markdown" {
			assert.Equal(t, textOf(t, format, gateSample(), Options{}), textOf(t, format, gateSample(), Options{Show: warnings, WorstFirst: true}), format)
		}
	}
}

// TestWorstFirst holds the order of models: by path, or what could not be judged and then
// who has most errors; many places of one trouble weigh no more than one.
func TestWorstFirst(t *testing.T) {
	of := func(path string, messages ...string) finding.Model {
		m := finding.Model{Path: path, Status: finding.Checked}
		for _, text := range messages {
			level, words, _ := strings.Cut(text, " ")
			m.Findings = append(m.Findings, finding.Finding{Rule: "r", Level: finding.Level(level), Message: words})
		}
		return m
	}
	r := &finding.Report{Models: []finding.Model{
		of("a", "note n"), of("b", "warning w", "error e"), of("c", "error e", "error e", "error e"), of("d", "error e", "error f"),
		{Path: "e", Status: finding.Undecided, Reason: "torn"}, of("f"),
	}}
	first := func(text string) (order string) {
		for _, line := range strings.Split(text, "\n") {
			if !strings.HasPrefix(line, " ") && strings.Index(line, ":") == 1 && !strings.HasSuffix(order, line[:1]) {
				order += line[:1]
			}
		}
		return order
	}
	assert.Equal(t, "abcde", first(textOf(t, "text", r, Options{})))
	assert.Equal(t, "edbca", first(textOf(t, "text", r, Options{WorstFirst: true})))
}

// TestSixtyThousandPlaces holds that one model cannot fill what people read, whether its
// findings count or were accepted.
func TestSixtyThousandPlaces(t *testing.T) {
	r := manyFindings(60000)
	accepted := manyFindings(60000)
	for i := range accepted.Models[0].Findings {
		accepted.Models[0].Findings[i].Waived = finding.Accepted("accepted.yml")
	}
	for _, format := range []string{"text", "markdown", "github", "junit"} {
		for name, report := range map[string]*finding.Report{"found": r, "accepted": accepted} {
			text := textOf(t, format, report, Options{Waived: true, Covered: true})
			assert.Less(t, strings.Count(text, "\n"), 60, "%s %s", format, name)
		}
	}
	text := textOf(t, "text", r, Options{})
	assert.Contains(t, text, "the worst of 5995 other places")
	assert.Contains(t, text, "the worst of 53995 other places")
}
