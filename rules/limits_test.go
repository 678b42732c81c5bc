package rules_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

// measured is a figure of the process, another value than the formula gives, and the limits
// that follow it.
var measured = []struct {
	figure, text string
	value        float64
	limits       [][2]string
}{
	{"slope: {holds", "47 deg", 47, [][2]string{{"long-slope", "angle"}}},
	{"lean: {holds", "71 deg", 71, [][2]string{{"max-overhang-angle", "angle"}, {"max-bridge-length", "angle"}, {"wide-ceiling", "angle"}, {"sagging-bridge", "angle"}}},
	{"lean: {clean", "41 deg", 41, [][2]string{{"rough-underside", "angle"}}},
	{"reach: {holds", "3.5 mm", 3.5, [][2]string{{"max-overhang-angle", "reach"}, {"max-bridge-length", "reach"}}},
	{"reach: {clean", "0.7 mm", 0.7, [][2]string{{"sagging-bridge", "reach"}}},
	{"tab: {holds", "3.75 mm", 3.75, [][2]string{{"max-overhang-angle", "far"}}},
	{"span: {holds", "44 mm", 44, [][2]string{{"max-bridge-length", "span"}}},
	{"span: {clean", "1.5 mm", 1.5, [][2]string{{"sagging-bridge", "span"}}},
	{"ceiling: {holds", "23 mm", 23, [][2]string{{"wide-ceiling", "span"}}},
	{"wall: {holds", "0.45 mm", 0.45, [][2]string{{"min-wall", "thickness"}, {"thin-strip", "thickness"}}},
	{"wall: {clean", "1.7 mm", 1.7, [][2]string{{"thin-wall", "thickness"}}},
	{"gap: {holds", "0.35 mm", 0.35, [][2]string{{"min-gap", "gap"}}},
	{"column: {holds", "9.5", 9.5, [][2]string{{"no-slender-columns", "slenderness"}}},
	{"foot: {holds", "30 mm2", 30, [][2]string{{"flat-base", "flat"}, {"speck-below-floor", "flat"}}},
	{"foot: {holds", "64 mm2", 64, [][2]string{{"flat-base", "small"}, {"speck-below-floor", "small"}}},
	{"foot: {clean", "130 mm2", 130, [][2]string{{"brim-advised", "small"}}},
	{"speck: {holds", "0.75 mm2", 0.75, [][2]string{{"no-floating-islands", "widest"}, {"feet-not-level", "widest"}, {"detached-piece", "widest"}}},
	{"speck: {holds", "3 mm2", 3, [][2]string{{"no-floating-islands", "widest"}, {"feet-not-level", "widest"}}},
}

// TestLimitsFollowWhatThePrinterCanDo holds that each figure moves its limits in every set that
// judges and in every plastic, over what that set or plastic says itself. Where strict asks for
// what is clean, and relaxed for what holds, the limit follows that.
func TestLimitsFollowWhatThePrinterCanDo(t *testing.T) {
	other := map[string]bool{
		"strict max-overhang-angle reach": true, "strict max-overhang-angle far": true, "strict max-bridge-length reach": true,
		"relaxed sagging-bridge reach": true,
	}
	for _, set := range []string{"standard", "strict", "relaxed", "classroom"} {
		for _, material := range materials {
			for _, m := range measured {
				c := load(t, fmt.Sprintf("use: [standard, %s]\nprocess: {material: %s, %s: %s}}", set, material, m.figure, m.text))
				for _, l := range m.limits {
					if other[set+" "+l[0]+" "+l[1]] {
						continue
					}
					assert.InDelta(t, m.value, limitOf(t, c, "a", l[0], l[1]), 1e-12, "%s %s %v", set, material, l)
				}
			}
		}
	}
	c := load(t, "use: [strict]\nprocess: {reach: {holds: 3.5 mm, clean: 2.25 mm}}")
	assert.Equal(t, [2]float64{2.25, 2.25}, [2]float64{limitOf(t, c, "a", "max-overhang-angle", "reach"), limitOf(t, c, "a", "max-overhang-angle", "far")})
}

// TestLimitsByFormula holds what limits are where nothing was measured.
func TestLimitsByFormula(t *testing.T) {
	deg := func(share, most float64) float64 { return min(most, math.Atan(share)*180/math.Pi) }
	bridges := map[string]float64{"pla": 10, "petg": 6, "abs": 7, "tpu": 2}
	for material, bridge := range bridges {
		walls := 2.0
		if material == "tpu" {
			walls = 3
		}
		for _, machine := range []string{"nozzle: 0.4 mm", "nozzle: 0.8 mm, line: 1 mm, layer: 0.3 mm", "nozzle: 0.25 mm, layer: 0.05 mm"} {
			for set, want := range map[string]func(line, layer float64) map[[2]string]float64{
				"standard": func(line, layer float64) map[[2]string]float64 {
					return map[[2]string]float64{
						{"max-overhang-angle", "angle"}: deg(1.25*line/layer, 75), {"rough-underside", "angle"}: deg(0.6*line/layer, 65), {"long-slope", "angle"}: deg(0.6*line/layer, 65),
						{"max-overhang-angle", "reach"}: min(2.5, bridge/2), {"max-overhang-angle", "far"}: bridge / 2, {"sagging-bridge", "reach"}: min(2, bridge/2),
						{"max-bridge-length", "span"}: 6.5 * bridge, {"sagging-bridge", "span"}: bridge, {"wide-ceiling", "span"}: 3 * bridge,
						{"min-wall", "thickness"}: 0.95 * line, {"thin-wall", "thickness"}: walls * line, {"min-gap", "gap"}: line / 2,
						{"no-slender-columns", "slenderness"}: 8, {"flat-base", "flat"}: 9, {"flat-base", "small"}: 25, {"brim-advised", "small"}: 60,
						{"no-floating-islands", "widest"}: 1, {"feet-not-level", "widest"}: 1, {"detached-piece", "widest"}: 1,
					}
				},
				"strict": func(line, layer float64) map[[2]string]float64 {
					return map[[2]string]float64{
						{"rough-underside", "angle"}: deg(line/(2*layer), 60), {"max-overhang-angle", "reach"}: min(2, bridge/2), {"max-overhang-angle", "far"}: min(2, bridge/2),
						{"flat-base", "flat"}: 25, {"flat-base", "small"}: 60, {"brim-advised", "small"}: 100,
					}
				},
				"relaxed": func(line, layer float64) map[[2]string]float64 {
					return map[[2]string]float64{
						{"max-overhang-angle", "reach"}: min(3, 0.6*bridge), {"max-overhang-angle", "far"}: 0.6 * bridge, {"max-bridge-length", "span"}: 8 * bridge,
						{"wide-ceiling", "span"}: 4 * bridge, {"min-wall", "thickness"}: 0.75 * line, {"flat-base", "flat"}: 4, {"flat-base", "small"}: 9,
					}
				},
			} {
				c := load(t, fmt.Sprintf("use: [%s]\nprocess: {material: %s, %s}", set, material, machine))
				for l, value := range want(c.Process.Line, c.Process.Layer) {
					assert.InDelta(t, value, limitOf(t, c, "a", l[0], l[1]), 1e-9, "%s %s %s %v", set, material, machine, l)
				}
			}
		}
	}
}

// TestWhatWasMeasuredStaysWithItsPlastic holds that a place with another plastic goes back to
// the formulas, and that one plastic cannot be measured with another.
func TestWhatWasMeasuredStaysWithItsPlastic(t *testing.T) {
	c := load(t, `
process: {material: pla, lean: {holds: 71 deg}, wall: {clean: 1.5 mm}}
places:
  - {paths: [soft], process: {material: tpu}}
  - {paths: [fine], process: {layer: 0.1 mm}}
`)
	assert.Equal(t, [2]float64{71, 1.5}, [2]float64{limitOf(t, c, "a", "max-overhang-angle", "angle"), limitOf(t, c, "a", "thin-wall", "thickness")})
	assert.Equal(t, [2]float64{71, 1.5}, [2]float64{limitOf(t, c, "fine", "max-overhang-angle", "angle"), limitOf(t, c, "fine", "thin-wall", "thickness")})
	assert.InDelta(t, 68.2, limitOf(t, c, "soft", "max-overhang-angle", "angle"), 0.01)
	assert.InDelta(t, 1.2, limitOf(t, c, "soft", "thin-wall", "thickness"), 1e-9)

	files := map[string]string{
		"x.yml": "use: [standard, m.yml]\nprocess: {material: petg}",
		"m.yml": "process: {material: pla, lean: {holds: 71 deg, source: made up}}",
	}
	_, err := ruleset.Load("x.yml", ruleset.Options{Catalog: measure.Catalog(), Open: func(path string) ([]byte, error) { return []byte(files[path]), nil }})
	require.ErrorContains(t, err, "x.yml:2:21: the plastic is petg, but lean.holds was measured with pla (m.yml:1:40)")
}
