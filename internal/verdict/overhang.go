package verdict

import (
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// OverhangAngle is the tilt from vertical, in degrees, from which the rules of level error
// let no underside hang; 45 where none speaks of it.
func OverhangAngle(rules []*ruleset.Rule) float64 {
	tilt := 90.0
	for _, r := range rules {
		if r.Measure == "overhang" && r.Level == finding.Error {
			tilt = min(tilt, AngleOf(r.Params()))
		}
	}
	if tilt == 90 {
		return 45
	}
	return tilt
}

// AngleOf is the angle among the parameters of overhang.
func AngleOf(params []float64) float64 {
	list := Definition("overhang").Params
	return params[slices.IndexFunc(list, func(p catalog.Param) bool { return p.Name == "angle" })]
}
