package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

func annotationLines(t *testing.T, r *finding.Report) []string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, "github", r, Options{}))
	return strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
}

// shelf is so many models with an error, a warning and a note each, of which the
// last cannot be judged.
func shelf(n int) *finding.Report {
	r := &finding.Report{}
	for i := range n {
		m := finding.Model{Path: fmt.Sprintf("m%03d.stl", i), Status: finding.Checked}
		for _, l := range []finding.Level{finding.Note, finding.Error, finding.Warning} {
			m.Findings = append(m.Findings, finding.Finding{Rule: "r-" + string(l), Level: l, Message: "x"}, finding.Finding{Rule: "r-" + string(l), Level: l, Message: "y"})
		}
		r.Models = append(r.Models, m)
	}
	r.Models[n-1].Status, r.Models[n-1].Findings, r.Models[n-1].Reason = finding.Unreadable, nil, "torn"
	r.Summary = finding.Summary{Models: n, Fail: n - 1, Error: 2 * (n - 1), Warning: 2 * (n - 1), Note: 2 * (n - 1), Unreadable: 1}
	return r
}

// TestAnnotationsAreCapped holds ten a level, at, below and past the cap, the worst
// first, and that the last one tells of what is not shown.
func TestAnnotationsAreCapped(t *testing.T) {
	for n, want := range map[int]struct{ errors, others int }{
		10: {10, 9}, 11: {10, 10}, 12: {10, 10}, 300: {10, 10},
	} {
		lines := annotationLines(t, shelf(n))
		counts := map[string]int{}
		for _, l := range lines[:len(lines)-2] {
			counts[strings.TrimPrefix(strings.FieldsFunc(l, func(r rune) bool { return r == ' ' || r == ':' })[0], "::")]++
		}
		assert.Equal(t, map[string]int{"error": want.errors, "warning": want.others, "notice": want.others}, counts, n)
		assert.Contains(t, lines[0], "cannot be judged", "what a run fails on comes first")
	}
	lines := annotationLines(t, shelf(300))
	assert.Equal(t, "::error::and 582 more on 291 models; see the summary or the report", lines[9])
	assert.Equal(t, "::warning::and 580 more on 290 models; see the summary or the report", lines[19])
	assert.Equal(t, "300 models: 299 would fail, 0 fine, 1 unreadable; 598 errors, 598 warnings, 598 notes", lines[30])
}

// TestAnnotationsSumUpARule holds that forty holes of one model take one annotation, which
// tells of like ones in one line.
func TestAnnotationsSumUpARule(t *testing.T) {
	lines := annotationLines(t, manyFindings(40))
	require.Len(t, lines, 4)
	assert.Equal(t, "::error file=many.stl,title=r::place 0, at (0, 0, 0) mm, triangle 1%0Aplace 10, at (0, 0, 0) mm, triangle 11%0A"+
		"place 20, at (0, 0, 0) mm, triangle 21%0Aplace 30, at (0, 0, 0) mm, triangle 31", lines[0])
	assert.Equal(t, 5, strings.Count(lines[1], "%0A"), "five that differ, and the rest")
	assert.True(t, strings.HasSuffix(lines[1], "place 6, the worst of 31 other places, at (0, 0, 0) mm, triangle 7"), lines[1])
	same := manyFindings(40)
	for i := range same.Models[0].Findings {
		same.Models[0].Findings[i].Message = "hole"
	}
	assert.Equal(t, "::notice file=many.stl,title=r::hole, in 36 places, one at (0, 0, 0) mm, triangle 2", annotationLines(t, same)[1])
}

// TestAnnotationsOfNothing holds that a clean run still says something.
func TestAnnotationsOfNothing(t *testing.T) {
	assert.Equal(t, []string{"0 models: 0 fine", "rules: the built-in set standard; no .printlint.yml at or above the models"}, annotationLines(t, &finding.Report{}))
}

func TestWorkflowEscapes(t *testing.T) {
	assert.Equal(t, "50%25 a:b,c%0A%0Dd", escapeData("50% a:b,c\n\rd"))
	assert.Equal(t, "50%25 a%3Ab%2Cc%0A%0Dd", escapeProperty("50% a:b,c\n\rd"))
}
