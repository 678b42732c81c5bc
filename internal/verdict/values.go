package verdict

import (
	"fmt"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
)

// Measures names the values of the whole model, of the first request that the rules make of
// each measure, in the order of the catalogue.
func (v *Verdict) Measures() (finding.Measures, error) {
	var list []finding.MeasureValues
	for _, m := range measure.Catalog() {
		k := slices.IndexFunc(v.Requests[:v.asked], func(q measure.Request) bool { return q.Measure == m.Name })
		if k < 0 || len(v.Results[k].Model) == 0 {
			continue
		}
		values, err := Named(m.Name, m.Model, v.Results[k].Model)
		if err != nil {
			return finding.Measures{}, err
		}
		round(values)
		list = append(list, finding.MeasureValues{Name: m.Name, Values: values})
	}
	return finding.MeasuresOf(list), nil
}

// Named gives values their names and units. A value that is not a number is an error
// here: it would spoil the whole report later, and a comparison with it means nothing.
func Named(measure string, defs []catalog.Value, values []float64) (finding.Values, error) {
	if len(values) != len(defs) {
		return nil, fmt.Errorf("measure %s gave %d values instead of %d; this is a defect of %s", measure, len(values), len(defs), finding.ToolName)
	}
	list := make(finding.Values, len(defs))
	for i, d := range defs {
		if math.IsNaN(values[i]) || math.IsInf(values[i], -1) {
			return nil, fmt.Errorf("measure %s gave no number for %s; this is a defect of %s", measure, d.Name, finding.ToolName)
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
