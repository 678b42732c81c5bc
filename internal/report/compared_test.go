package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// comparedSample is a run that was compared: one finding is new, one was there before,
// and two are gone, one of them with a model whose name would act on a terminal.
func comparedSample() *finding.Report {
	r := sample()
	for i := range r.Models {
		for k := range r.Models[i].Findings {
			r.Models[i].Findings[k].Change = finding.Same
		}
	}
	hook := &r.Models[2]
	hook.Findings[0].Change = finding.New
	gone := hook.Findings[1]
	gone.Change = finding.Gone
	was := finding.Model{Kind: "stl", Status: finding.Checked, Findings: []finding.Finding{gone}}
	before, odd := was, was
	before.Path, odd.Path = "parts/hook.stl", "parts/\x1b[2Jold|.stl"
	r.Compared = &finding.Comparison{
		Rev: "origin/main", Commit: "0123456789abcdef", FailOn: finding.FailOnNew, New: 1, Same: 3, Gone: 2, Models: []finding.Model{before, odd},
	}
	return r
}

const comparedLine = "gainst origin/main (0123456789ab): 1 new, 2 gone, 3 as before; only what is new fails"

func TestEveryReportTellsWhatAChangeDid(t *testing.T) {
	for _, format := range []string{"text", "markdown", "github", "html"} {
		text := written(t, format)
		assert.Contains(t, text, comparedLine, format)
		assert.Contains(t, text, "(as before)", format)
		assert.Contains(t, text, "(new)", format)
		assert.NotContains(t, text, "\x1b", format)
	}
	junit := written(t, "junit")
	assert.Equal(t, 1, strings.Count(junit, "<failure"), "only what is new")
	assert.Contains(t, junit, "(as before)")
	assert.Contains(t, written(t, "text"), "\nparts/hook.stl: gone: again")
	assert.Contains(t, written(t, "markdown"), "### Gone")
	assert.Contains(t, written(t, "html"), "Gone with this change: 2")
	assert.Contains(t, written(t, "html"), `<td class="counts">1 error new`)
}

func TestSARIFTellsWhatAChangeDid(t *testing.T) {
	sarif := written(t, "sarif")
	for word, n := range map[string]int{"new": 1, "unchanged": 4, "absent": 2} {
		assert.Equal(t, n, strings.Count(sarif, `"baselineState": "`+word+`"`), word)
	}
	scanning := written(t, "code-scanning")
	assert.NotContains(t, scanning, "baselineState")
	assert.NotContains(t, scanning, "old|", "what is gone raises no alert")
}

func written(t *testing.T, format string) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, format, comparedSample(), Options{Exit: 1}))
	return out.String()
}
