package verdict

import (
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

// OverhangAngle is the tilt from vertical, in degrees, from which the rules of level error
// let no underside hang; 45 where none speaks of it.
func OverhangAngle(rules []*ruleset.Rule) float64 {
	tilt := 90.0
	for _, r := range rules {
		if r.Per == ruleset.PerModel {
			continue
		}
		if p, ok := measure.Overhang.Params(requestOf(r.Asks()[0])); ok && r.Level == finding.Error {
			tilt = min(tilt, p.Angle)
		}
	}
	if tilt == 90 {
		return 45
	}
	return tilt
}
