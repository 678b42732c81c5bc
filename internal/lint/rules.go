package lint

import (
	"cmp"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// OwnRules are the rules of findings that no rule set writes.
func OwnRules() []finding.Rule {
	return []finding.Rule{
		{
			ID: finding.RuleUndecided, Level: finding.Error, Limits: []string{}, Units: map[string]string{},
			Because: "Something that the rules need could not be measured. The surface is broken, the model is far too large, the reader does not know all of the file, or the limit of work was used up. What was found stands, but nobody knows about the rest, so the model must not pass. The exit code is 2, whatever level fails, and no waiver helps.",
			Do:      "Read why beside the model, and do what it says there.",
		},
		{
			ID: finding.RuleNested, Level: finding.Error, Limits: []string{}, Units: map[string]string{},
			Because: "One configuration holds for a model: the outermost at or above it. Another one in between does nothing, while whoever wrote it thinks that it does.",
			Do:      "Move what it says into the outer configuration, as a place for its folder; or leave its folder out there with models.exclude.",
		},
		{
			ID: finding.RulePlace, Level: finding.Warning, Limits: []string{}, Units: map[string]string{},
			Because: "A place in the configuration has rules for some paths, and no model lies there. It may be a typing mistake, or the models have moved, and now other rules hold for them.",
			Do:      "Write the paths as they are now; or remove the place.",
		},
		{
			ID: finding.RuleResized, Level: finding.Warning, Limits: []string{}, Units: map[string]string{},
			Because: "The change left the shape of the model as it was and made all of it larger or smaller by the factor between two units, such as 25.4 between inches and mm. Mesh files often do not say their unit, so this is nearly always an export in the wrong one. It is asked only where a run compares with what was before.",
			Do:      "Export it in the unit it had; or say in the pull request that the new size is meant.",
		},
		{
			ID: RuleStale, Level: finding.Warning, Limits: []string{}, Units: map[string]string{},
			Because: "A waiver accepts a finding that is no longer there, or its last day is past.",
			Do:      "Remove the waiver; or write it anew if you still accept the finding.",
		},
	}
}

// limitOn is a limit; where machines differ in it, that of each.
func limitOn(machines []*ruleset.Machine, rule string, l ruleset.Limit) string {
	type shared struct {
		value string
		on    []string
	}
	values := []shared{{value: catalog.FormatLimit(l.Value, l.Unit)}}
	for _, m := range machines {
		value, ok := m.Limit(rule, l.Name)
		if !ok {
			continue
		}
		text := catalog.FormatLimit(value, l.Unit)
		i := slices.IndexFunc(values, func(s shared) bool { return s.value == text })
		if i < 0 {
			i = len(values)
			values = append(values, shared{value: text})
		}
		values[i].on = append(values[i].on, m.Name)
	}
	if len(values) == 1 {
		return values[0].value
	}
	var list []string
	for _, s := range values {
		list = append(list, s.value+" on "+words.Listed(s.on))
	}
	return strings.Join(list, ", ")
}

// RulesInForce tells in plain words what each rule means, but those that only a comparison
// asks, for the configuration or for machines of it.
func RulesInForce(config *ruleset.Config, machines ...*ruleset.Machine) []finding.Rule {
	return slices.DeleteFunc(RulesCompared(config, machines...), func(r finding.Rule) bool { return r.ID == finding.RuleResized })
}

// RulesCompared tells in plain words what each rule of a comparison means.
func RulesCompared(config *ruleset.Config, machines ...*ruleset.Machine) []finding.Rule {
	list := OwnRules()
	if len(machines) > 0 {
		config = machines[0].Config
	}
	for _, r := range config.Rules() {
		limits := make([]string, len(r.Limits))
		for i, l := range r.Limits {
			limits[i] = l.Name + " " + limitOn(machines, r.ID, l)
		}
		_, do := r.General()
		per := string(r.Per)
		if r.Per == ruleset.PerPlace {
			per = ""
		}
		list = append(list, finding.Rule{
			ID: r.ID, Level: r.Level, Measure: r.Judges(), Per: per,
			Because: r.Because, Do: do, Limits: limits, Source: r.Source,
			Units: config.Units(r.ID),
		})
	}
	slices.SortStableFunc(list, func(a, b finding.Rule) int { return cmp.Compare(a.ID, b.ID) })
	return list
}
