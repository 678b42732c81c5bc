package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/advise"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
)

// loadAll reads a configuration that may name every measure.
func loadAll(t testing.TB, text string) *ruleset.Config {
	t.Helper()
	config, err := ruleset.Load("rules.yml", ruleset.Options{Catalog: advise.Catalog(), Open: func(string) ([]byte, error) { return []byte(text), nil }})
	require.NoError(t, err)
	return config
}

const supportRules = hangRules + `
  much-support: {per: model, limits: {most: 0.1 g}, find: support.grams > limits.most, level: error, say: '{support.places} places', because: b}
  all-in: {per: model, limits: {most: 1 g}, find: print.grams + support.grams > limits.most and support.contact > 1 mm2, level: note, say: s, because: b}
`

// ofRule is the finding of a rule on the only model; nil where it has none.
func ofRule(r *finding.Report, rule string) *finding.Finding {
	for i := range r.Models[0].Findings {
		if f := &r.Models[0].Findings[i]; f.Rule == rule {
			return f
		}
	}
	return nil
}

// TestSupportInRules holds that a rule sees the plan that advice tells of, and that what a
// waiver accepts needs none.
func TestSupportInRules(t *testing.T) {
	part := model(t, "t.stl", shapes.T())
	r := check(t, loadAll(t, supportRules), Options{Advice: advise.Options{Depth: advise.Full, Down: &mesh.Vec{Z: -1}}}, part)
	f := ofRule(r, "much-support")
	require.NotNil(t, f)
	assert.Equal(t, "2 places", f.Message)
	grams, _ := f.Values.Get("support.grams")
	require.NotNil(t, r.Models[0].Advice)
	require.NotNil(t, r.Models[0].Advice.Poses[0].Support)
	assert.InDelta(t, r.Models[0].Advice.Poses[0].Support.Grams, grams, 1e-3)
	assert.Contains(t, r.Models[0].Advice.Poses[0].Left, finding.RuleCount{Rule: "much-support", Level: finding.Error, Count: 1}, "the way up is judged by it too")
	all := ofRule(r, "all-in")
	require.NotNil(t, all)
	contact, _ := all.Values.Get("support.contact")
	assert.InDelta(t, 2*20*10*0.5, contact, 20, "half of two arms of 20 mm by 10 mm, held by grids on the bed")
	r = check(t, loadAll(t, supportRules+"waivers:\n  - {path: t.stl, rule: hangs, reason: printed many times}\n"), Options{}, part)
	assert.Nil(t, ofRule(r, "much-support"))
	r = check(t, loadAll(t, supportRules), Options{}, model(t, "cube.stl", shapes.Cube(30)))
	assert.Empty(t, r.Models[0].Findings)
}

// TestABrimIsCounted holds that the limit brim adds what lies around the first layer: of a
// cube of 20 mm a brim of 5 mm, one layer high.
func TestABrimIsCounted(t *testing.T) {
	rules := fileProcess + `
rules:
  without: {per: model, find: print.grams > 0 g, level: note, say: s, because: b}
  with: {per: model, limits: {brim: 5 mm}, find: print.grams > 0 g and print.minutes > 0 min, level: note, say: s, because: b}
`
	r := check(t, loadAll(t, rules), Options{}, model(t, "cube.stl", shapes.Cube(20)))
	without, _ := ofRule(r, "without").Values.Get("print.grams")
	with, _ := ofRule(r, "with").Values.Get("print.grams")
	assert.InDelta(t, 80*5*0.2/1000, with-without, 0.002)
}
