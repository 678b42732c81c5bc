package cli

import (
	"regexp"
	"slices"
	"sync"

	"printlint/internal/catalog"
	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

// boundWords says what a value of a rule is, in the words of the catalogue, and whether
// its limit of the same name is the most or the least, by the rule's condition.
func boundWords(rules []*ruleset.Rule) func(rule, value string) (doc, bound string) {
	measures := sync.OnceValue(measure.Catalog)
	return func(rule, value string) (doc, bound string) {
		i := slices.IndexFunc(rules, func(r *ruleset.Rule) bool { return r.ID == rule })
		if i < 0 {
			return "", ""
		}
		r := rules[i]
		if k := slices.IndexFunc(measures(), func(m catalog.Measure) bool { return m.Name == r.Measure }); k >= 0 {
			m := &measures()[k]
			if at := m.Index(value); at >= 0 {
				doc = m.Values[at].Doc
			}
		}
		return doc, boundOf(r.Find, value)
	}
}

// boundOf reads from a condition which way a limit holds: what is found above it must stay
// at most that large. Where the condition says both or neither, so does this.
func boundOf(find, limit string) string {
	name := regexp.QuoteMeta(limit)
	above := regexp.MustCompile(`>=?\s*limits\.` + name + `\b`).MatchString(find)
	below := regexp.MustCompile(`<=?\s*limits\.` + name + `\b`).MatchString(find)
	switch {
	case above && !below:
		return "at most"
	case below && !above:
		return "at least"
	}
	return ""
}
