package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mistakes are files that are YAML and wrong, with everything that is complained about.
var mistakes = []struct {
	text string
	want string
}{
	{"rules: {min-wall: {level: off}}", `1:27: level cannot be "off"; write none`},
	{"rules: {min-wall: {level: false}}", `1:27: level cannot be "false"; write none`},
	{"rules: {min-wall: {level: Error}}", `1:27: level cannot be "Error"; write error`},
	{"rules: {min-wall: {level: warn}}", `1:27: level cannot be "warn"; write warning`},
	{"rules: {min-wall: {level: loud}}", `1:27: level cannot be "loud"; it is one of error, warning, note, none`},
	{"fail-at: never", `1:10: fail-at cannot be "never"; write none`},
	{"models: {lfs: ignore}", `1:15: lfs cannot be "ignore"; write skip`},
	{"models: {unit: inch}", `1:16: unit cannot be "inch"; write in`},
	{"models: {unit: Millimeters}", `1:16: unit cannot be "Millimeters"; write mm`},
	{"models: {unit: deg}", `1:16: unit cannot be "deg"; it is one of mm, cm, m, in, um`},
	{"models: {unit: µm}", `1:16: unit cannot be "µm"; write um`},
	{"use: strict", "1:6: use must be a list, this is text; write use: [strict]"},
	{"places: [{paths: x/**, rules: {min-wall: {level: note}}}]", `1:18: paths must be a list, this is text; write paths: ["x/**"]`},
	{"models: {exclude: old}", "1:19: exclude must be a list, this is text; write exclude: [old]"},
	{"places: {paths: [x], unit: in}", "1:9: places must be a list, this is a mapping; put - before each of its items"},
	{"rules:\n- min-wall", "2:1: rules must be a mapping (key: value), this is a list; write each item as name: value, without -"},
	{"process:\n  nozzle:0.4 mm", "2:3: process must be a mapping (key: value), this is text; a space is missing: write nozzle: 0.4 mm"},
	{"process:\n  nozzle 0.4 mm", "2:3: process must be a mapping (key: value), this is text; a colon is missing: write nozzle: 0.4 mm"},
	{"rules: {min-wall: off}", "1:19: rule min-wall must be a mapping (key: value), this is text; write min-wall: {level: none}"},
	{"rules:\n  min-wall:\n  level: note", "2:12: rule min-wall must be a mapping (key: value), this is empty; what belongs to it begins with more spaces\n" +
		"3:3: level is no rule, but part of one; give the line more spaces, so that it belongs to the rule above"},
	{"rules: {min-wall: {thickness: 1 mm}}", "1:20: thickness is a limit; put it under limits, as in limits: {thickness: 1 mm}"},
	{"rules: {min-wall: {thickness: 0,4 mm}}", "1:31: thickness: 0,4 mm has a comma; write 0.4 mm"},
	{"rules: {min-wall: {thick: 1 mm}}", `1:20: unknown key "thick" in rule min-wall; a limit stands under limits, as in limits: {thick: 1 mm}`},
	{"rules: {min-wall: {limits: {thickness: 0,4 mm}}}", "1:40: thickness: 0,4 mm has a comma; write 0.4 mm"},
	{"rules: {min-wall: {limits: {thickness: '0,4 mm'}}}", "1:41: a number has a point and no comma: write 0.4 mm"},
	{"process: {bed: [220,5 mm, 220 mm, 250 mm]}", "1:17: bed: 220,5 mm has a comma; write 220.5 mm"},
	{"process: {bed: 220 x 220 x 250 mm}", "1:16: bed must be a list of three: x, y, z; write bed: [220 mm, 220 mm, 250 mm]"},
	{"process: {line: 0,4 mm}", "1:17: line: 0,4 mm has a comma; write 0.4 mm"},
	{"process:\n  line: 0,4 mm", `2:9: line: "0,4 mm" has a comma; write 0.4 mm`},
	{"process: {line: 0.4 millimeters}", `1:17: line: "millimeters" is not a unit; write mm`},
	{"process: {material: PETG}", `1:21: no built-in material is called "PETG"; write petg`},
	{"layer: 0.2 mm", "1:1: layer belongs under process: process: {layer: 0.2 mm}"},
	{"unit: in", "1:1: unit belongs under models: models: {unit: in}"},
	{"rules: {mine: {measur: column, find: heigth > 5 mm, level: nope, say: \"{hight}\", because: b}}",
		"1:16: unknown key \"measur\" in rule mine (did you mean \"measure\"?)\n" +
			"1:38: nothing here is called \"heigth\" (did you mean \"height\"?)\n" +
			"1:60: level cannot be \"nope\"; it is one of error, warning, note, none\n" +
			"1:73: nothing here is called \"hight\" (did you mean \"height\"?)"},
	{"rules: {mine: {measure: column, find: heigth > 5 mm, colour: red, say: s}}",
		"1:9: rule mine is new and lacks level, because\n" +
			"1:39: nothing here is called \"heigth\" (did you mean \"height\"?)\n" +
			"1:54: unknown key \"colour\" in rule mine (known here: because, do, find, level, limits, measure, per, say, source, yields-to)"},
	{"rules: {mine: {measure: column, find: height / 0 > 5, level: note, say: s, because: b}}", "1:48: this is 0, and nothing can be divided by 0"},
	{"rules: {min-wall: {limits: {thickness 1 mm}}}", "1:29: a colon is missing: write thickness: 1 mm"},
	{"process: {nozzle 0.4 mm}", "1:11: a colon is missing: write nozzle: 0.4 mm"},
	{"rules: {mine: {measure: column, max: 5, find: slenderness > limits.max, level: note, say: s, because: b}}", "1:33: max is a limit; put it under limits, as in limits: {max: 5}"},
	{"rules: {min-wall: {limits: {thickness: 1}}, max-overhang-angle: {limits: {angle: 45}}}", "1:40: limit thickness of rule min-wall must be mm (measure wall), this is a bare number; write 1 mm\n" +
		"1:82: limit angle of rule max-overhang-angle must be degrees (measure overhang), this is a bare number; write 45 deg"},
	{"rules: {min-wall: {level: “note”}}", `1:27: level cannot be "“note”"; write note`},
	{"rules: {min-wall: {limits: {thickness: '>1mm'}}}", "1:41: a limit is a quantity alone: write 1mm; find says how it is compared"},
	{"rules: {min-wall: {limits: {thickness: at least 1 mm}}}", "1:40: a limit is a quantity alone: write 1 mm; find says how it is compared"},
	{"rules: {min_wall: {level: note}}", `1:9: "min_wall" cannot name a rule: small letters and digits, words joined by -; write min-wall`},
	{"rules: {min-wall: {severity: error}}", `1:20: unknown key "severity" in rule min-wall (did you mean "level"?)`},
	{"rules: {min-wall: {enabled: false}}", `1:20: unknown key "enabled" in rule min-wall; level: none switches a rule off`},
	{"use: standard, strict", "1:6: use must be a list, this is text; write use: [standard, strict]"},
	{"use: [abs, strict]", "1:7: abs does not hold, since strict comes after it and brings pla; put abs last"},
	{"use: [standard, abs, tpu]", "1:17: abs does not hold, since tpu comes after it; name one plastic"},
	{"use: [Strict]", `1:7: no set is called "Strict" (did you mean "strict"?); a file's name ends in .yml`},
}

// TestMistakesAreAnsweredWithTheCure holds what each of the usual mistakes is answered with.
func TestMistakesAreAnsweredWithTheCure(t *testing.T) {
	for _, c := range mistakes {
		_, err := loadText(c.text)
		require.Error(t, err, c.text)
		got := ""
		for i, p := range err.(*Problems).List {
			if i > 0 {
				got += "\n"
			}
			got += p.Position.String()[len(".printlint.yml:"):] + ": " + p.Text
		}
		assert.Equal(t, c.want, got, c.text)
	}
}

// TestAPlasticMayStandLast holds that naming a plastic behind the sets, or in process, is right.
func TestAPlasticMayStandLast(t *testing.T) {
	for _, text := range []string{"use: [strict, abs]", "use: [abs, strict]\nprocess: {material: abs}", "use: [standard, pla, house.yml, abs]\nprocess: {material: abs}", "use: [abs]\nprocess: {bed: [1 mm, 1 mm, 1 mm], nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm}"} {
		c, err := loadText(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, "abs", c.Process.Material)
		}
	}
}
