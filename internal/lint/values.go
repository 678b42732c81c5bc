package lint

import (
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
