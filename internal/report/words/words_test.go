package words

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestShown holds the numbering that pictures and formats share.
func TestShown(t *testing.T) {
	m := &finding.Model{Findings: []finding.Finding{
		{Level: finding.Note}, {Level: finding.Error}, {Level: finding.None}, {Level: finding.Warning},
		{Level: finding.Error, Waived: &finding.Waived{}}, {Level: finding.Error},
	}}
	assert.Equal(t, []int{1, 5, 3, 0}, Shown(m))
	assert.Empty(t, Shown(&finding.Model{}))
}

// TestPlainLeavesTheReportAlone holds that what is made safe to show is a copy, down to
// the last text, and that nothing else is changed.
func TestPlainLeavesTheReportAlone(t *testing.T) {
	make := func(text string) *finding.Report {
		f := finding.Finding{Rule: text, Level: finding.Error, Values: finding.Values{{Name: text, Unit: "mm", Value: 2}}, Waived: &finding.Waived{Reason: text}}
		return &finding.Report{
			Rules: finding.RuleSet{Sets: []string{text}, Rules: []finding.Rule{{ID: text}}},
			Models: []finding.Model{{Path: text, Triangles: 3, Findings: []finding.Finding{f}, Advice: &finding.Advice{Words: text, Poses: []finding.Pose{{Costs: []string{text}, Matrix: [9]float64{1}}},
				Support: &finding.Support{Kind: text, Sites: []finding.SupportSite{{At: [3]float64{1, 2, 3}, Why: text}}}}}},
		}
	}
	const hostile, shown = "a\x1bb", `a\u001bb`
	r := make(hostile)
	assert.Equal(t, make(shown), Plain(r))
	assert.Equal(t, make(hostile), r)
	assert.True(t, reflect.DeepEqual(&finding.Report{}, Plain(&finding.Report{})), "what is nil stays nil")
}
