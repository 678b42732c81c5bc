package ruleset

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// sites are values that each rule of the snapshot just passes and just finds, in
// the order of the fixture's measures.
var sites = map[string]struct{ passes, found []float64 }{
	"max-overhang-angle":  {[]float64{63.5, 20, 20, 200, 30, 30}, []float64{90, 20, 20, 200, 30, 30}},
	"rough-underside":     {[]float64{45.05, 20, 20, 200, 30, 30}, []float64{50, 1.5, 1.5, 30, 8, 8}},
	"max-bridge-length":   {[]float64{25, 12, 0, 8, 200, 90, 20, 0}, []float64{30, 15, 0, 10, 300, 90, 20, 0}},
	"sagging-bridge":      {[]float64{10, 5, 0, 8, 80, 90, 20, 0}, []float64{14.14, 7, 0, 8, 110, 90, 20, 0}},
	"min-wall":            {[]float64{0.4, 30, 10, 3, 1, 0}, []float64{0.3, 30, 10, 3, 1, 0}},
	"thin-wall":           {[]float64{0.8, 30, 10, 3, 1, 0}, []float64{0.4, 30, 10, 3, 1, 0}},
	"min-floor":           {[]float64{0.2, 30, 10, 3, 0, 0}, []float64{0.15, 30, 10, 3, 0, 0}},
	"no-floating-islands": {[]float64{1, 4, 0.4, 5, 5, 1}, []float64{400, 400, 20, 5, 5, 0}},
	"flat-base":           {[]float64{9, 9, 1, 3, 1, 20}, []float64{1.4, 0, 0.003, 1.2, 1, 20}},
	"fits-bed":            {[]float64{220, 220, 250, 250, 220, 1}, []float64{300, 10, 10, 300, 10, 0}},
	"plausible-size":      {[]float64{1, 1, 1, 1, 1, 1}, []float64{0.787, 0.2, 0.1, 0.787, 0.1, 1}},
	"fillable-layers":     {[]float64{0.02, 3}, []float64{0.4, 60}},
	"closed-surface":      {[]float64{2, 0.4, 0, 0, 0, 0, 0, 0}, []float64{12, 36.5, 0, 0, 0, 0, 0, 0}},
	"consistent-winding":  {[]float64{9, 9, 9, 0, 0, 9, 9, 9}, []float64{0, 0, 0, 4, 1, 0, 0, 0}},
	"crowded-edges":       {[]float64{9, 9, 0, 9, 1, 9, 9, 9}, []float64{0, 0, 2, 0, 0, 0, 0, 0}},
	"double-triangles":    {[]float64{9, 9, 9, 9, 1, 9, 0, 9}, []float64{0, 0, 0, 0, 0, 0, 1, 0}},
	"flat-triangles":      {[]float64{9, 9, 9, 9, 1, 0, 9, 9}, []float64{0, 0, 0, 0, 0, 3, 0, 0}},
}

// TestWordsOfEveryRule compares all that a person reads about each rule of the snapshot with
// a golden file, and holds each rule to a site that just passes.
func TestWordsOfEveryRule(t *testing.T) {
	c, err := Load("", Options{Catalog: fixture(), sets: frozen})
	require.NoError(t, err)
	require.Len(t, sites, len(c.Rules()), "each rule has its sites")
	var b strings.Builder
	for _, r := range c.Rules() {
		s, ok := sites[r.ID]
		require.True(t, ok, r.ID)
		holds, err := r.Match(s.passes)
		require.NoError(t, err)
		assert.False(t, holds, "%s finds what should pass", r.ID)
		holds, err = r.Match(s.found)
		require.NoError(t, err)
		assert.True(t, holds, "%s passes what it should find", r.ID)
		b.WriteString(string(r.Level) + ": " + r.Message(s.found) + " [" + r.ID + "]\n")
		b.WriteString("  do: " + r.Action(s.found) + "\n  because: " + r.Because + "\n  source: " + r.Source + "\n\n")
	}
	const golden = "testdata/standard.golden"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

// ruleSaying is a rule over a measure of the fixture with these words.
func ruleSaying(t *testing.T, measure, limits, say string) *Rule {
	return rule(t, load(t, one("rules:\n  mine: {measure: "+measure+", limits: {"+limits+"}, find: true, level: note, say: \""+say+"\", because: b}")).Rules(), "mine")
}

func TestMessages(t *testing.T) {
	for say, want := range map[string]string{
		"leans {angle}, reaches {reach}":         "leans 90°, reaches 20.0 mm",
		"{ledge} of {area}, at {z}":              "0.25 mm of 412 mm², at 9.99 mm",
		"braces {{angle}} stay":                  "braces {angle} stay",
		"line {process.line}, bed {process.bed}": "line 0.4 mm, bed 220 x 220 x 250 mm",
		"{process.density} at {process.flow}":    "1.24 g/cm³ at 5 mm³/s",
		"two\\nlines":                            "two lines",
		"ends in {drop}":                         "ends in no end",
	} {
		r := ruleSaying(t, "overhang", "", say)
		assert.Equal(t, want, r.Message([]float64{90, 20, 0.25, 412.4, 9.99, math.Inf(1)}), say)
	}
	r := ruleSaying(t, "overhang", "reach: 2 mm, steep: 200 / 3 * 1 deg", "past {limits.reach} and {limits.steep}, {angle}")
	assert.Equal(t, "past 2 mm and 66.7°, 45.3°", r.Message([]float64{45.26, 1, 1, 1, 1, 1}))
	assert.Equal(t, "some gap, joins: yes", ruleSaying(t, "island", "", "some gap, joins: {joins}").Message([]float64{1, 1, 1, 1, 1, 1}))
	cost := ruleSaying(t, "cost", "", "{mass}, {time}, {flow}, {volume}, {density}, {price}")
	assert.Equal(t, "12 g, 95 min, 9.00 mm³/s, 8000 mm³, 1.24 g/cm³, 25.0 /kg", cost.Message([]float64{12.3, 95, 9, 8000, 1.24, 25}))
}

// TestAValueNeverReadsAsItsLimit holds that rounding does not hide by what a value is
// past a limit.
func TestAValueNeverReadsAsItsLimit(t *testing.T) {
	r := ruleSaying(t, "bridge", "reach: 2 mm, span: 10 mm", "{span} over {limits.span}")
	for value, want := range map[float64]string{
		10.4: "10.4 mm over 10 mm", 10.04: "10.04 mm over 10 mm", 10.004: "10.004 mm over 10 mm", 10.0004: "10.0 mm over 10 mm",
		10: "10.0 mm over 10 mm", 9.996: "9.996 mm over 10 mm", 2.001001: "2.001 mm over 10 mm",
	} {
		values := make([]float64, 8)
		values[0] = value
		assert.Equal(t, want, r.Message(values))
	}
}

func TestMatchComplains(t *testing.T) {
	c := load(t, one("rules:\n  mine: {measure: base, find: area / flat > 0 * share, level: note, say: s, because: b}"))
	r := rule(t, c.Rules(), "mine")
	_, err := r.Match([]float64{1, 2})
	assert.EqualError(t, err, "rule mine: measure base has 6 values, not 2")
	_, err = r.Match([]float64{0, 0, 1, 1, 1, 1})
	assert.EqualError(t, err, "rule mine: its condition (.printlint.yml:2:31) has no answer here: area = 0, flat = 0, share = 1, width = 1, pieces = 1, height = 1")
	holds, err := r.Match([]float64{1, 2, 0, 0, 0, 0})
	assert.NoError(t, err)
	assert.True(t, holds)
}

func TestValuesForReports(t *testing.T) {
	c := load(t, one(""))
	r := rule(t, c.Rules(), "max-bridge-length")
	values := r.Values([]float64{30, 15, 0, 10, 300, 90, 20, 1})
	assert.Equal(t, finding.Named{Name: "span", Unit: "mm", Value: 30}, values[0])
	assert.Equal(t, finding.Named{Name: "sequential", Unit: "bool", Value: 1}, values[7])
	assert.Equal(t, finding.Values{{Name: "span", Unit: "mm", Value: 25}, {Name: "reach", Unit: "mm", Value: 2}}, r.LimitValues())
}
