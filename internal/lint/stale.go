package lint

import (
	"fmt"

	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// RuleStale is the rule of findings on waivers that should go.
const RuleStale = finding.RuleStale

// KindConfig marks the entry of a report that stands for a configuration file: what
// is wrong with its waivers is found there. It is no model and not counted as one.
const KindConfig = "configuration"

// stale reports the waivers that are past their day or accept nothing any more, as
// findings on the configuration that holds them.
func stale(config *ruleset.Config, checked []string, whole bool) []finding.Model {
	var models []finding.Model
	for _, w := range config.Stale(checked, whole) {
		if len(models) == 0 || models[len(models)-1].Path != w.From.File {
			models = append(models, finding.Model{
				Path: w.From.File, Kind: KindConfig, Status: finding.Checked,
				Notes: []string{}, Measures: finding.Measures{},
			})
		}
		m := &models[len(models)-1]
		f := finding.Finding{
			Rule: RuleStale, Level: finding.Warning, Line: w.From.Line,
			Message: fmt.Sprintf("the waiver of %s for %s should go: %s", w.Rule, w.Path, w.Why),
			Advice:  "remove the waiver, or write it anew if the finding is still accepted",
			Values:  finding.Values{}, Limits: finding.Values{},
		}
		found := []hit{{Finding: f}}
		stamp(fmt.Sprintf("%s\x00%s\x00%s", w.Path, w.Rule, w.Part), found)
		m.Findings = append(m.Findings, found[0].Finding)
	}
	return models
}
