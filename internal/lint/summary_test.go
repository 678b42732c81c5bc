package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestSummaryCountsEachModelOnce holds what becomes of a model: it would fail, is to be
// looked at, is clean, with notes or without, or was not judged.
func TestSummaryCountsEachModelOnce(t *testing.T) {
	model := func(status finding.Status, levels ...finding.Level) finding.Model {
		m := finding.Model{Status: status}
		for _, l := range levels {
			m.Findings = append(m.Findings, finding.Finding{Level: l})
		}
		return m
	}
	const e, w, n, none = finding.Error, finding.Warning, finding.Note, finding.None
	waived := model(finding.Checked, e, n)
	waived.Findings[0].Waived = &finding.Waived{}
	config := model(finding.Checked, w)
	config.Kind = KindConfig
	models := []finding.Model{
		model(finding.Checked, n, e, w), model(finding.Checked, n, w, w), model(finding.Checked, none), model(finding.Checked, n, n), waived,
		model(finding.Undecided, e), model(finding.Unreadable), model(finding.Skipped), config,
	}
	assert.Equal(t, finding.Summary{Models: 7, Fail: 1, Look: 1, Clean: 3, Noted: 2, Undecided: 1, Unreadable: 1, Error: 2, Warning: 4, Note: 5, Waived: 1}, Summarize(models))
	for i := range models {
		s := Summarize(models[i : i+1])
		assert.Equal(t, s.Clean == 1, models[i].Clean() && models[i].Kind != KindConfig, i)
	}
}
