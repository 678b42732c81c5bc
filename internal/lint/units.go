package lint

import (
	"cmp"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/verdict"
)

// giveUnits puts back the units that a JSON report names once for each rule.
func giveUnits(m *finding.Model, rules []finding.Rule) {
	finding.GiveUnits(m.Figures)
	if m.Was != nil {
		finding.GiveUnits(m.Was.Figures)
	}
	taken := m.Measures.All()
	for i := range taken {
		if def := verdict.Definition(taken[i].Name); def != nil {
			for k := range taken[i].Values {
				v := &taken[i].Values[k]
				if at := slices.IndexFunc(def.Model, func(d catalog.Value) bool { return d.Name == v.Name }); at >= 0 {
					v.Unit = string(def.Model[at].Unit)
				}
			}
		}
	}
	m.Measures = finding.MeasuresOf(taken)
	for i := range m.Findings {
		f := &m.Findings[i]
		at, ok := slices.BinarySearchFunc(rules, f.Rule, func(r finding.Rule, id string) int { return cmp.Compare(r.ID, id) })
		if !ok {
			continue
		}
		for k := range f.Values {
			f.Values[k].Unit = cmp.Or(rules[at].Units[f.Values[k].Name], f.Values[k].Unit)
		}
		for k := range f.Limits {
			f.Limits[k].Unit = cmp.Or(rules[at].Units["limits."+f.Limits[k].Name], f.Limits[k].Unit)
		}
	}
}
