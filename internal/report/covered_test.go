package report

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// TestWhatIsCoveredIsShown holds that a report on what changed shows what is accepted
// there, in every format that people read, and that others do not.
func TestWhatIsCoveredIsShown(t *testing.T) {
	r := gateSample()
	r.Models[3].Findings[0].Waived = &finding.Waived{Kind: finding.ByWaiver, File: ".printlint.yml", Reason: "looks fine to me"}
	r.Models[3].Findings[1].Waived = finding.Accepted("accepted.yml")
	for format, want := range map[string]string{
		"text":     "looks fine to me",
		"github":   `accepted in writing::2 findings on this model, accepted in writing%0A`,
		"markdown": "### Accepted in writing on what changed",
		"html":     `<details class="waived" open>`,
	} {
		for covered, holds := range map[bool]func(assert.TestingT, any, any, ...any) bool{true: assert.Contains, false: assert.NotContains} {
			var out bytes.Buffer
			require.NoError(t, Write(&out, format, r, Options{Covered: covered}))
			holds(t, out.String(), want, "%s, covered %v", format, covered)
		}
	}
}

// TestWorseIsSaid holds that every format says that a finding is worse than accepted.
func TestWorseIsSaid(t *testing.T) {
	r := gateSample()
	for i := range r.Models {
		for k := range r.Models[i].Findings {
			r.Models[i].Findings[k].Worse = "worse than accepted: reach 16.0 mm, accepted 8.00 mm"
		}
	}
	for _, format := range Formats() {
		var out bytes.Buffer
		require.NoError(t, Write(&out, format, r, Options{}))
		assert.Contains(t, out.String(), "worse than accepted: reach 16.0 mm, accepted 8.00 mm", format)
	}
}
