package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// gather makes the values of a rule from lists by measure.
func gather(t *testing.T, r *Rule, whole map[string][]float64, places map[string][][]float64) (values []float64, counted []int) {
	t.Helper()
	lists := make([][]float64, len(r.Asks()))
	for i, a := range r.Asks() {
		lists[i] = whole[a.Measure]
	}
	values, err := r.Gather(nil, lists, func(ask int) [][]float64 { return places[r.Asks()[ask].Measure] }, func(_, place int) { counted = append(counted, place) })
	require.NoError(t, err)
	return values, counted
}

// TestARuleOverTheWholeModel combines measures, counts places and says so.
func TestARuleOverTheWholeModel(t *testing.T) {
	c, err := loadText(`
rules:
  wide-bridges:
    per: model
    limits: {most: 2, long: 20 mm, reach: 3 mm}
    find: |
      count(bridge,  span > limits.long) > limits.most
      and size.z > process.layer * 10
    level: warning
    say: "{count(bridge, span > limits.long)} bridges are longer than {limits.long} on a model {size.z} tall; it weighs {cost.mass}"
    do: build it lower than {size.z}
    because: more than {limits.most} of them fail
`)
	require.NoError(t, err)
	r := rule(t, c.Rules(), "wide-bridges")
	assert.Equal(t, PerModel, r.Per)
	assert.Equal(t, "the whole model: bridge, size, cost", r.Over())
	assert.Equal(t, []Ask{{"bridge", []float64{45, 3}}, {"size", []float64{}}, {"cost", []float64{}}}, r.Asks(), "it asks for what it names, by its limits")
	bridges := [][]float64{make([]float64, 8), make([]float64, 8), make([]float64, 8), make([]float64, 8)}
	for i, span := range []float64{30, 20, 21, 40} {
		bridges[i][0] = span
	}
	whole := map[string][]float64{"size": {10, 10, 12}, "bridge": {4, 40}, "cost": {7, 60}}
	values, counted := gather(t, r, whole, map[string][][]float64{"bridge": bridges})
	assert.Equal(t, []float64{3, 12, 7}, values)
	assert.Equal(t, []int{0, 2, 3}, counted)
	holds, err := r.Match(values)
	require.NoError(t, err)
	assert.True(t, holds)
	assert.Equal(t, "3 bridges are longer than 20 mm on a model 12.0 mm tall; it weighs 7.0 g", r.Message(values))
	assert.Equal(t, "build it lower than 12.0 mm", r.Action(values))
	assert.Equal(t, "more than 2 of them fail", r.Because)
	assert.Equal(t, []string{"count(bridge, span > limits.long)", "size.z", "cost.mass"}, r.Says())
	values, _ = gather(t, r, whole, map[string][][]float64{"bridge": bridges[:3]})
	holds, err = r.Match(values)
	require.NoError(t, err)
	assert.False(t, holds)
	words, found := r.Example()
	assert.True(t, found, words)
	assert.Equal(t, "mm", c.Units("wide-bridges")["size.z"])
	assert.Equal(t, "g", c.Units("wide-bridges")["cost.mass"])
}

// TestMistakesInRulesOverTheWholeModel holds what is answered to each.
func TestMistakesInRulesOverTheWholeModel(t *testing.T) {
	of := func(find string) string {
		return "rules: {mine: {per: model, find: '" + find + "', level: note, say: s, because: b}}"
	}
	for _, c := range []struct{ text, want string }{
		{of("size.zz > 3 mm"), `1:35: nothing here is called "size.zz" (did you mean "size.z"?)`},
		{of("siz.z > 3 mm"), `1:35: nothing here is called "siz.z" (did you mean "size.z"?)`},
		{of("size.depth > 3 mm"), `1:35: nothing here is called "size.depth" (known here: size.x, size.y, size.z)`},
		{of("z > 3 mm"), `1:35: nothing here is called "z"; a rule with per: model names the measure before the value, as in size.z`},
		{of("bridge.width > 3 mm"), `1:35: nothing here is called "bridge.width"; width is a value of each place of bridge, as in count(bridge, ...)`},
		{of("size.z > 3"), `1:44: mm on the left of >, but a bare number on its right; does the number lack its unit?`},
		{of("size.z > cost.mass"), `1:44: mm on the left of >, but g on its right`},
		{of("count(bridge, span > 3 g) > 2"), `1:56: mm on the left of >, but g on its right`},
		{of("count(bridge, spam > 3 mm) > 2"), `1:49: nothing here is called "spam" (did you mean "span"?)`},
		{of("count(bridges) > 2"), `1:41: no measure is called "bridges" (did you mean "bridge"?)`},
		{of("count(bridge, span) > 2"), `1:49: count needs a condition that is true or false, this is mm; compare it with something`},
		{of("count(bridge, count(bridge) > 2) > 2"), `1:49: a count cannot stand in the condition of another; count each by itself and join them with and`},
		{of("count(3) > 2"), `1:41: count needs a measure, as in count(bridge, span > 20 mm)`},
		{of("count(bridge"), `1:46: count is cut off here; where find stands within { }, put all of it in quotes`},
		{of("count(bridge, sequential) > 2 mm"), `1:63: a bare number on the left of >, but mm on its right`},
		{of("mesh.volume / size.z > 3 mm2"), `1:49: size.z can be 0, and nothing can be divided by 0; write max(size.z, 1 mm) here: then it counts as at least 1 mm`},
		{of("process.layer > 1 mm"), `1:35: find names no value of the model; name one, as in size.z > 200 mm`},
		{of("size.z"), `1:35: find must be true or false, this is mm; compare it with a limit`},
		{"rules: {mine: {find: size.z > 3 mm, level: note, say: s, because: b}}", `1:9: rule mine is new and lacks measure; over the whole model it is written per: model, without measure`},
		{"rules: {mine: {per: model, measure: size, find: size.z > 3 mm, level: note, say: s, because: b}}", `1:37: a rule with per: model names its measures in find, as in size.x; leave measure out`},
		{"rules: {mine: {per: modle, measure: size, find: z > 3 mm, level: note, say: s, because: b}}", `1:21: per cannot be "modle"; it is one of place, model, folder`},
		{"rules: {mine: {measure: size, find: size.z > 3 mm, level: note, say: s, because: b}}", `1:37: nothing here is called "size.z"; values of the whole model are for rules with per: model`},
		{"rules: {mine: {measure: bridge, find: count(bridge) > 3, level: note, say: s, because: b}}", `1:39: count stands in find, say and do of a rule with per: model, and nowhere else`},
		{of("cost.money > 3"), `1:34: cost.money needs the price of a kilogram of plastic, in your own money; write it as in process: {price: 25 /kg}`},
		{"rules: {mine: {measure: total, find: true, level: note, say: s, because: b}}", `1:25: measure total finds no places; write per: model in place of it, and total.sites in find`},
		{"rules: {flat-base: {per: model}}", `1:26: rule flat-base is per: place; give a rule with per: model a name of its own`},
		{"rules: {mine: {per: model, limits: {angle: 3 mm}, find: overhang.area > 9 mm2, level: note, say: s, because: b}}",
			`1:44: limit angle of rule mine steers measure overhang and must be degrees, this is mm; give it another name, or the unit`},
		{"rules: {mine: {per: model, limits: {a: 3 mm}, find: overhang.area > 9 mm2, level: note, say: s, because: b}}", `1:37: rule mine has no use for a limit "a"`},
		{"rules: {mine: {per: model, find: size.z > 9 mm, level: note, say: 'n {count(bridge, spam > 3 mm)}', because: b}}", `1:85: nothing here is called "spam" (did you mean "span"?)`},
		{"rules: {mine: {per: model, find: size.z > 9 mm, level: note, say: '{size.y}', because: 'b {size.z}'}}", "1:88: because speaks of the rule as such and cannot name {size.z}, which differs from site to site"},
	} {
		_, err := loadText(c.text)
		require.Error(t, err, c.text)
		assert.Equal(t, ".printlint.yml:"+c.want, err.Error(), c.text)
	}
}

// TestDivisionByWhatCannotBe0 holds what may be divided by in such a rule.
func TestDivisionByWhatCannotBe0(t *testing.T) {
	for _, find := range []string{
		"mesh.volume / max(size.z, 1 mm) > 3 mm2", "mesh.volume / process.layer > 3 mm2", "size.z / 2 > 3 mm", "mesh.volume / (max(size.z, 1 mm) * 2) > 3 mm2",
	} {
		_, err := loadText("rules: {mine: {per: model, find: '" + find + "', level: note, say: s, because: b}}")
		assert.NoError(t, err, find)
	}
	for _, find := range []string{"mesh.volume / max(size.z, size.y) > 3 mm2", "mesh.volume / (max(size.z, 1 mm) - 1 mm) > 3 mm2", "mesh.volume / min(size.z, 1 mm) > 3 mm2"} {
		_, err := loadText("rules: {mine: {per: model, find: '" + find + "', level: note, say: s, because: b}}")
		assert.ErrorContains(t, err, "can be 0, and nothing can be divided by 0", find)
	}
}

// TestPlacesChangeRulesOverTheWholeModel lays sets, the configuration and a place over one.
func TestPlacesChangeRulesOverTheWholeModel(t *testing.T) {
	c := load(t, map[string]string{
		".printlint.yml": "use: [standard, house.yml]\nrules: {tall: {level: error}}\nplaces:\n- {paths: [big/**], rules: {tall: {limits: {most: 300 mm}}}}",
		"house.yml":      "rules: {tall: {per: model, limits: {most: 100 mm}, find: size.z > limits.most, level: note, say: '{size.z}', because: b}}",
	})
	here, there := rule(t, c.For("a.stl").Rules, "tall"), rule(t, c.For("big/a.stl").Rules, "tall")
	for _, r := range []*Rule{here, there} {
		holds, err := r.Match([]float64{200})
		require.NoError(t, err)
		assert.Equal(t, r == here, holds)
		assert.EqualValues(t, "error", r.Level)
	}
	other := load(t, map[string]string{
		".printlint.yml": "use: [standard, house.yml]\nrules: {tall: {level: error}}\nplaces:\n- {paths: [big/**], rules: {tall: {limits: {most: 300 mm}}}}",
		"house.yml":      "rules: {tall: {per: model, limits: {most: 100 mm}, find: size.y > limits.most, level: note, say: '{size.y}', because: b}}",
	})
	assert.NotEqual(t, c.Digest, other.Digest)
	_, err := loadText("rules: {tall: {per: model, find: size.z > 9 mm, level: note, say: s, because: b}}\nplaces:\n- {paths: [x], rules: {tall: {measure: size}}}")
	assert.EqualError(t, err, ".printlint.yml:3:40: rule tall judges the whole model; give a rule over size a name of its own")
}
