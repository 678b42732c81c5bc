package lint

import (
	"cmp"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// OwnRules are the rules of findings that no rule set writes.
func OwnRules() []finding.Rule {
	return []finding.Rule{
		{
			ID: RuleUndecided, Level: finding.Error, Limits: []string{}, Units: map[string]string{},
			Because: "A measure that the rules need could not be taken, so the model cannot be judged. It must not pass for that, whatever the rules say.",
			Do:      "Repair the surface so that it is closed, then check again.",
		},
		{
			ID: finding.RuleNested, Level: finding.Error, Limits: []string{}, Units: map[string]string{},
			Because: "One configuration holds for a model: the outermost at or above it. Another one in between holds for nothing, while whoever wrote it thinks that it does.",
			Do:      "Move what it says into the configuration that holds, as a place for its folder, or leave the folder out with models.exclude there.",
		},
		{
			ID: finding.RulePlace, Level: finding.Warning, Limits: []string{}, Units: map[string]string{},
			Because: "A place in the configuration says other rules for some paths, and no model lies there: a slip of the pen, or the models have moved, and now other rules hold for them.",
			Do:      "Write the paths as they are now, from the folder that the configuration speaks for, or remove the place.",
		},
		{
			ID: RuleStale, Level: finding.Warning, Limits: []string{}, Units: map[string]string{},
			Because: "A waiver in the configuration accepts a finding that is no longer there, or its last day is past.",
			Do:      "Remove the waiver, or write it anew if the finding is still accepted.",
		},
	}
}

// inForce tells in plain words what each rule means.
func inForce(config *ruleset.Config) []finding.Rule {
	list := OwnRules()
	for _, r := range config.Rules() {
		limits := make([]string, len(r.Limits))
		for i, l := range r.Limits {
			limits[i] = l.Name + " " + catalog.FormatLimit(l.Value, l.Unit)
		}
		list = append(list, finding.Rule{
			ID: r.ID, Level: r.Level, Measure: r.Measure,
			Because: r.Because, Do: r.WithLimits(r.Do), Limits: limits, Source: r.Source,
			Units: config.Units(r.ID),
		})
	}
	slices.SortStableFunc(list, func(a, b finding.Rule) int { return cmp.Compare(a.ID, b.ID) })
	return list
}
