package ruleset

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// commonest are the mistakes that people make most often in a configuration: each file is
// right but for one. Judgement, from what the loader is asked to answer.
var commonest = []struct{ text, loader string }{
	{"rules: {min-wall: {level: off}}", "write none"},
	{"rules: {min-wall: {level: Error}}", "write error"},
	{"rules: {min-wal: {level: note}}", "no rule is called"},
	{"rules: {min-wall: {levels: note}}", "unknown key"},
	{"rules: {min-wall: {thickness: 1 mm}}", "put it under limits"},
	{"rules: {min-wall: {limits: {thicknes: 1 mm}}}", "no use for a limit"},
	{"rules: {min-wall: {limits: {thickness: 1}}}", "write 1 mm"},
	{"rules: {min-wall: {limits: {thickness: 45 deg}}}", "must be mm"},
	{"rules: {min-wall: {limits: {thickness: '0,4 mm'}}}", "write 0.4 mm"},
	{"rules: {mine: {measure: wall, find: thickness < 1 mm, level: note, say: thin}}", "lacks because"},
	{"rules: {mine: {measure: walls, find: thickness < 1 mm, level: note, say: thin, because: b}}", "no measure is called"},
	{"rules: {mine: {measure: wall, find: thickness = 1 mm, level: note, say: thin, because: b}}", `operator "=" is not known`},
	{"use: strict", "write use: [strict]"},
	{"use: [strickt]", "no set is called"},
	{"process: {nozle: 0.4 mm}", "unknown key"},
	{"process: {nozzle: 0.4}", "lacks its unit"},
	{"process: {bed: [220, 220, 250]}", "lacks its unit"},
	{"process: {material: PETG}", "write petg"},
	{"layer: 0.2 mm", "belongs under process"},
	{"models: {unit: inch}", "write in"},
	{"models: {exclude: old/**}", "must be a list"},
	{"places: [{paths: a/**, unit: in}]", "must be a list"},
	{"waivers: [{path: a.stl, rule: min-wall}]", "needs a reason"},
	{"waivers: [{path: a.stl, rule: min-wall, reason: r, until: 31.12.2026}]", "YYYY-MM-DD"},
	{"fail-at: never", "write none"},
}

// TestSchemaRefusesTheCommonestMistakes holds that an editor marks them, and that the loader
// answers each with the cure.
func TestSchemaRefusesTheCommonestMistakes(t *testing.T) {
	require.GreaterOrEqual(t, len(commonest), 20)
	s := compiled(t)
	for _, c := range commonest {
		assert.Error(t, s.Validate(plainData(t, c.text)), c.text)
		_, err := loadText(c.text)
		assert.ErrorContains(t, err, c.loader, c.text)
	}
}

// TestSchemaLetsBe holds that what is right, and near to a mistake, is not refused.
func TestSchemaLetsBe(t *testing.T) {
	s := compiled(t)
	for _, text := range []string{
		"rules: {min-wall: {limits: {thickness: 1 mm}}, max-overhang-angle: {limits: {angle: 45°, reach: 2mm}}, flat-base: {limits: {flat: 0.1 cm²}}}",
		"rules: {min-wall: {limits: {thickness: 2 * process.line, area: rules.flat-base.limits.flat}}, max-bridge-length: {limits: {span: 'max(1 mm, 2 mm)'}}}",
		"rules: {min-wall: {limits: {mine: 3}, find: area > limits.mine * limits.area and thickness < limits.thickness}, fillable-layers: {limits: {open_share: 0.5}}}",
		"rules: {mine: {measure: column, limits: {slender: 5, tall: 3 mm - 1 mm}, find: slenderness >= limits.slender and height != limits.tall, level: note, say: s, because: b}}",
		"use: [standard, house.yml]\nrules: {flat-base: {level: none}}",
		"process: {material: woodfill, bridge: 5 mm, density: 1 g/cm³, flow: 4 mm³/s}",
	} {
		assert.NoError(t, s.Validate(plainData(t, text)), text)
		_, err := loadText(text)
		assert.NoError(t, err, text)
	}
	text := string(schemaOf(Options{Catalog: fixture(), sets: frozen}))
	for _, known := range []string{`"min-wall"`, `"thickness"`, `"petg"`, `"strict"`, `°`} {
		assert.True(t, strings.Contains(text, known), known)
	}
}
