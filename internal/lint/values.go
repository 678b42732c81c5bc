package lint

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
)

// modelValues names the whole-model values, of the first request of each measure, in
// the order of the catalogue.
func modelValues(requests []measure.Request, results []measure.Result) (finding.Measures, error) {
	list := finding.Measures{}
	for _, m := range measure.Catalog() {
		k := slices.IndexFunc(requests, func(q measure.Request) bool { return q.Measure == m.Name })
		if k < 0 || len(results[k].Model) == 0 {
			continue
		}
		values, err := named(m.Name, m.Model, results[k].Model)
		if err != nil {
			return nil, err
		}
		round(values)
		list = append(list, finding.MeasureValues{Name: m.Name, Values: values})
	}
	return list, nil
}

// named gives values their names and units. A value that is not a number is an error
// here: it would spoil the whole report later, and a comparison with it means nothing.
func named(measure string, defs []catalog.Value, values []float64) (finding.Values, error) {
	if len(values) != len(defs) {
		return nil, fmt.Errorf("measure %s gave %d values instead of %d; this is a defect of %s", measure, len(values), len(defs), Tool)
	}
	list := make(finding.Values, len(defs))
	for i, d := range defs {
		if math.IsNaN(values[i]) || math.IsInf(values[i], -1) {
			return nil, fmt.Errorf("measure %s gave no number for %s; this is a defect of %s", measure, d.Name, Tool)
		}
		list[i] = finding.Named{Name: d.Name, Unit: string(d.Unit), Value: values[i]}
	}
	return list, nil
}

// round cuts values to what a report carries, so that one that was written and read back
// is the same.
func round(values finding.Values) {
	for i := range values {
		values[i].Value = finding.Round(values[i].Value)
	}
}

// giveUnits puts back the units that a JSON report names once for each rule.
func giveUnits(m *finding.Model, rules []finding.Rule) {
	for i := range m.Measures {
		if def := definition(m.Measures[i].Name); def != nil {
			for k := range m.Measures[i].Values {
				v := &m.Measures[i].Values[k]
				if at := slices.IndexFunc(def.Model, func(d catalog.Value) bool { return d.Name == v.Name }); at >= 0 {
					v.Unit = string(def.Model[at].Unit)
				}
			}
		}
	}
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
