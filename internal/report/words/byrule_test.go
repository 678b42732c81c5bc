package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestShares holds how a run is summed up: models once each, all places, no configuration
// among the models, and what does not count left out.
func TestShares(t *testing.T) {
	const e, w = finding.Error, finding.Warning
	waived := bridge(e, 50)
	waived.Waived = &finding.Waived{}
	stale := finding.Finding{Rule: "stale-waiver", Level: w}
	one := finding.Model{Findings: []finding.Finding{bridge(e, 20), bridge(e, 90), bridge(w, 12), waived, bridge(finding.None, 3)}}
	two := finding.Model{Findings: []finding.Finding{bridge(w, 12)}}
	config := finding.Model{Kind: finding.KindConfig, Findings: []finding.Finding{stale, stale}}
	assert.Equal(t, []Share{{"bridge", e, 1, 2}, {"bridge", w, 2, 2}, {"stale-waiver", w, 0, 2}},
		Shares(&finding.Report{Models: []finding.Model{config, one, {}, two}}))
	assert.Empty(t, Shares(&finding.Report{Models: []finding.Model{one, {}}}), "one model says it itself")
}
