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
			ID: finding.RuleUndecided, Level: finding.Error, Limits: []string{}, Units: map[string]string{},
			Because: "Something that the rules need could not be measured, because the surface is broken, the model is far too large, the reader does not know all of the file, or the limit of work was used up. What was found stands, but there is no verdict on the whole, and the model must not pass for that: the exit code is 2, whatever level fails, and no waiver helps.",
			Do:      "See the words beside the model for the reason and its cure.",
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

// RulesInForce tells in plain words what each rule means.
func RulesInForce(config *ruleset.Config) []finding.Rule {
	list := OwnRules()
	for _, r := range config.Rules() {
		limits := make([]string, len(r.Limits))
		for i, l := range r.Limits {
			limits[i] = l.Name + " " + catalog.FormatLimit(l.Value, l.Unit)
		}
		_, do := r.General()
		list = append(list, finding.Rule{
			ID: r.ID, Level: r.Level, Measure: r.Measure,
			Because: r.Because, Do: do, Limits: limits, Source: r.Source,
			Units: config.Units(r.ID),
		})
	}
	slices.SortStableFunc(list, func(a, b finding.Rule) int { return cmp.Compare(a.ID, b.ID) })
	return list
}
