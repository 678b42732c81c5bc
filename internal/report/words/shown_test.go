package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestNumbersStayWhatPicturesShow holds that a finding has the number it had when its
// picture was drawn, before a comparison said what is new.
func TestNumbersStayWhatPicturesShow(t *testing.T) {
	m := &finding.Model{Findings: []finding.Finding{
		{Rule: "a", Level: finding.Error, Message: "a"}, {Rule: "b", Level: finding.Error, Message: "b"}, {Rule: "c", Level: finding.Note, Message: "c"},
	}}
	drawn := Shown(m)
	assert.Equal(t, []int{0, 1, 2}, drawn)
	m.Findings[0].Change, m.Findings[1].Change = finding.Same, finding.New
	m.Findings = append(m.Findings, finding.Finding{Rule: finding.RuleResized, Level: finding.Warning, Change: finding.New})
	assert.Equal(t, append(drawn, 3), Shown(m))
	assert.Equal(t, "b", Grouped(m)[0][0].Finding.Message, "what is new comes first in lists all the same")
}
