package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// TestAbilitiesFollowInOrder holds that formulas of what a printer can do are worked out in the
// order of the table, and that each limit knows what it is made of, with sources.
func TestAbilitiesFollowInOrder(t *testing.T) {
	c := load(t, map[string]string{".printlint.yml": `
use: [standard, machine.yml]
rules:
  steep: {measure: overhang, limits: {angle: process.lean.clean + 1 deg, reach: rules.far.limits.reach}, find: angle > limits.angle and reach > limits.reach, level: error, say: s, because: b}
  far: {measure: overhang, limits: {reach: process.wall.holds * 2}, find: reach > limits.reach, level: error, say: "wall {process.wall.holds}", because: b}
`, "machine.yml": `
process:
  slope: {holds: 40 deg, source: print of May}
  lean: {clean: "min(process.slope.holds, 50 deg)"}
  wall: {holds: 0.95 * process.line}
`})
	steep := rule(t, c.Rules(), "steep")
	assert.Equal(t, 41.0, steep.limit("angle").Value)
	at := func(line, column int) Position { return Position{"machine.yml", line, column} }
	assert.Equal(t, []Figure{
		{"process.lean.clean", catalog.Deg, 40, "min(process.slope.holds, 50 deg)", at(4, 17), ""},
		{"process.slope.holds", catalog.Deg, 40, "", at(3, 18), "print of May"},
	}, steep.limit("angle").Figures)
	wall := Figure{"process.wall.holds", catalog.MM, 0.38, "0.95 * process.line", at(5, 17), ""}
	assert.Equal(t, []Figure{wall}, steep.limit("reach").Figures)
	assert.Equal(t, "wall 0.38 mm", rule(t, c.Rules(), "far").Message([]float64{1, 1, 1, 1, 1, 1}))
}

// TestAbilityMistakes holds what is said of figures that cannot be.
func TestAbilityMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"lean: {holds: 60 deg, clean: 61 deg}":      `1:40: lean.clean is 61°, but only 60° holds (lean.holds, .printlint.yml:1:25), and what is clean holds too; make clean at most 60°, or say what holds`,
		"wall: {holds: 0.5 mm, clean: 0.4 mm}":      `1:40: wall.clean is 0.4 mm, but only 0.5 mm holds (wall.holds, .printlint.yml:1:25), and what is clean holds too; make clean at least 0.5 mm, or say what holds`,
		"lean: {holds: 60 mm}":                      "1:25: lean.holds is counted in °, not in mm",
		"lean: {holds: 60}":                         "1:25: lean.holds lacks its unit; write 60°",
		"lean: {holds: 6 deg}":                      "1:25: lean.holds is 6 deg, which is not between 10° and 90°",
		"lean: {holds: 2 * process.line}":           "1:25: lean.holds must be degrees, this is mm",
		"lean: 60 deg":                              "1:17: lean takes its figures by name; write lean: {holds: 60 deg}",
		"lean: {hold: 60 deg}":                      `1:18: unknown key "hold" in lean (did you mean "holds"?)`,
		"gap: {clean: 1 mm}":                        `1:17: unknown key "clean" in gap (known here: holds, source)`,
		"leen: {holds: 60 deg}":                     `1:11: unknown key "leen" in process (did you mean "lean"?)`,
		"lean: {holds: process.lean.clean}":         `1:25: nothing here is called "process.lean.clean"`,
		"column: {holds: 0}":                        "1:27: column.holds is 0, which is not between 1 and 1000",
		"span: {holds: process.ceiling.holds}":      `1:25: nothing here is called "process.ceiling.holds"`,
		"lean: {holds: 60 deg, source: [measured]}": "1:41: source must be text, this is a list",
	} {
		_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: func(string) ([]byte, error) {
			return []byte("process: {" + text + "}\nuse: [standard]"), nil
		}})
		require.ErrorContains(t, err, ".printlint.yml:"+want, text)
	}
}

// TestWhatIsNotSaidIsNoLimit holds that no limit is made of a figure that no file gives.
func TestWhatIsNotSaidIsNoLimit(t *testing.T) {
	_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: func(string) ([]byte, error) {
		return []byte(`use: []
process: {material: x, nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bridge: 9 mm, density: 1 g/cm3, flow: 5 mm3/s, bed: [9 mm, 9 mm, 9 mm]}
rules: {long: {measure: bridge, find: span > process.span.holds, level: error, say: "past {process.span.holds}", because: b}}`), nil
	}})
	require.ErrorContains(t, err, ".printlint.yml:3:46: process.span.holds is not said; use: [standard] gives it")
}
