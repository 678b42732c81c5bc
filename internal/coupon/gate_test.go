package coupon

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// config loads a configuration from text; other files are looked up in more.
func config(t testing.TB, text string, more map[string]string) *ruleset.Config {
	t.Helper()
	c, err := ruleset.Load("c.yml", ruleset.Options{Catalog: measure.Catalog(), Open: func(name string) ([]byte, error) {
		if name == "c.yml" {
			return []byte(text), nil
		}
		data, ok := more[name]
		if !ok {
			return nil, os.ErrNotExist
		}
		return []byte(data), nil
	}})
	require.NoError(t, err)
	return c
}

// judge is what the rules find on one piece as it lies on its plate.
func judge(t testing.TB, c *ruleset.Config, m *mesh.Triangles) []verdict.Hit {
	t.Helper()
	s := verdict.New(mesh.Weld(m), "", c.For("piece.stl"))
	results, err := s.Body.Measure(context.Background(), measure.AsIs, s.View.Process, measure.Options{}, s.Requests)
	require.NoError(t, err)
	for _, r := range results {
		require.Empty(t, r.Undecided)
	}
	v, err := s.Judge(results)
	require.NoError(t, err)
	return v.Hits
}

// limitOf is a limit of a rule in force.
func limitOf(t testing.TB, c *ruleset.Config, rule, name string) float64 {
	t.Helper()
	for _, r := range c.Rules() {
		for _, l := range r.Limits {
			if r.ID == rule && l.Name == name {
				return l.Value
			}
		}
	}
	require.Fail(t, "no such limit", "%s of %s", name, rule)
	return 0
}

// past is what the rules say of a piece by formula, worst first and by the first that holds:
// the rule, and the value that must be measured there.
func past(t testing.TB, c *ruleset.Config, row string, v float64) []expected {
	limit := func(rule, name string) float64 { return limitOf(t, c, rule, name) + 1e-9 }
	height := tall(c.Process.Line)
	switch row {
	case "slopes":
		return []expected{{"max-overhang-angle", "angle", v, v > limit("max-overhang-angle", "angle")},
			{"rough-underside", "angle", v, v > limit("rough-underside", "angle")}}
	case "long-slopes":
		return []expected{{"max-overhang-angle", "angle", v, v > limit("max-overhang-angle", "angle")},
			{"long-slope", "angle", v, v > limit("long-slope", "angle") && limit("long-slope", "reach") < 9},
			{"rough-underside", "angle", v, v > limit("rough-underside", "angle")}}
	case "ledges":
		far := v > limit("max-overhang-angle", "far")
		load := v > limit("max-overhang-angle", "reach") && v*v*7 > limit("max-overhang-angle", "load")
		return []expected{{"max-overhang-angle", "reach", v, far || load}, {"rough-underside", "reach", v, v > limit("rough-underside", "reach")}}
	case "bridges", "ceilings":
		wide := row == "ceilings"
		return []expected{{"max-bridge-length", "span", v, v > limit("max-bridge-length", "span")},
			{"wide-ceiling", "span", v, wide && v > limit("wide-ceiling", "span")},
			{"sagging-bridge", "span", v, v > limit("sagging-bridge", "span")}}
	case "walls":
		return []expected{{"min-wall", "thickness", v, v < limit("min-wall", "thickness")-2e-9},
			{"thin-wall", "thickness", v, v < limit("thin-wall", "thickness")-2e-9}}
	case "gaps":
		return []expected{{"min-gap", "gap", v, v < limit("min-gap", "gap")-2e-9}}
	case "columns":
		return []expected{{"no-slender-columns", "slenderness", height / v, height/v > limit("no-slender-columns", "slenderness")}}
	case "feet":
		small := v < limit("flat-base", "small")-2e-9 && 1/headArea < limit("flat-base", "share")
		return []expected{{"flat-base", "flat", v, small || v < limit("flat-base", "flat")-2e-9},
			{"brim-advised", "flat", v, v < limit("brim-advised", "small")-2e-9 && 1/headArea < limit("brim-advised", "share")}}
	case "specks":
		return []expected{{"no-floating-islands", "widest", v, v > limit("no-floating-islands", "widest") && speckHang > limit("no-floating-islands", "rise")}}
	}
	require.Fail(t, "no formula for a row", row)
	return nil
}

// expected is a rule that holds of a piece, if it does.
type expected struct {
	rule, value string
	of          float64
	holds       bool
}

// holdsExactly judges every piece of the plan for a configuration, and holds what is found
// against the formulas: those rules and no others, with the value that was drawn.
func holdsExactly(t *testing.T, c *ruleset.Config) (failed int) {
	t.Helper()
	p, err := New(c.Process)
	require.NoError(t, err)
	for _, plate := range p.Plates {
		for _, s := range plate.Steps {
			want := expected{}
			for _, e := range past(t, c, s.Row.Name, s.Step.Value) {
				if e.holds {
					want = e
					break
				}
			}
			hits := judge(t, c, s.Step.Mesh)
			if want.rule == "" {
				assert.Empty(t, hits, s.Name())
				continue
			}
			failed++
			if !assert.Len(t, hits, 1, "%s: %v", s.Name(), want) {
				continue
			}
			assert.Equal(t, want.rule, hits[0].Rule, s.Name())
			got, ok := hits[0].Values.Get(want.value)
			assert.True(t, ok, s.Name())
			assert.InDelta(t, want.of, got, 0.02*want.of, "%s: %s", s.Name(), want.value)
		}
	}
	return failed
}

// TestRulesFindExactlyTheStepsPastTheirLimits tries every plastic and set, and several
// nozzles: each piece prints but for the one figure that it is there to try.
func TestRulesFindExactlyTheStepsPastTheirLimits(t *testing.T) {
	for name, text := range map[string]string{
		"as it comes": "",
		"petg":        "process: {material: petg}",
		"thin layers": "process: {layer: 0.1 mm}",
		"0.25 mm":     "process: {nozzle: 0.25 mm}",
		"0.6 mm":      "process: {nozzle: 0.6 mm}",
		"tpu":         "process: {material: tpu}",
		"strict":      "use: [strict]",
		"relaxed":     "use: [relaxed]",
		"1 mm":        "process: {nozzle: 1 mm}",
		"small bed":   "process: {bed: [120 mm, 120 mm, 100 mm]}",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Greater(t, holdsExactly(t, config(t, "version: 1\n"+text+"\n", nil)), 10)
		})
	}
}
