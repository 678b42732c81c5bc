package rules_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

// limitOf is a limit of a rule that holds for a path.
func limitOf(t *testing.T, c *ruleset.Config, path, rule, limit string) float64 {
	t.Helper()
	for _, r := range c.For(path).Rules {
		for _, l := range r.Limits {
			if r.ID == rule && l.Name == limit {
				return l.Value
			}
		}
	}
	t.Fatalf("%s has no limit %s at %s", rule, limit, path)
	return 0
}

// TestLineAndLayerFollowTheNozzle holds that a nozzle alone moves what is laid with it, in a
// place too, and that what is said outright stays.
func TestLineAndLayerFollowTheNozzle(t *testing.T) {
	c := load(t, `
process: {nozzle: 0.8 mm}
places:
  - {paths: [fine], process: {nozzle: 0.25 mm}}
  - {paths: [wide], process: {line: 1 mm}}
  - {paths: [thin], process: {layer: 0.2 mm}}
`)
	for path, want := range map[string][3]float64{
		"a": {0.8, 0.8, 0.4}, "fine": {0.25, 0.25, 0.125}, "wide": {0.8, 1, 0.4}, "thin": {0.8, 0.8, 0.2},
	} {
		p := c.For(path).Process
		assert.Equal(t, want, [3]float64{p.Nozzle, p.Line, p.Layer}, path)
	}
	p := load(t, "version: 1").Process
	assert.Equal(t, [3]float64{0.4, 0.4, 0.2}, [3]float64{p.Nozzle, p.Line, p.Layer})
}

// TestAPlaceBringsItsOwnPlastic holds that no figure and no rule of another plastic stays
// where a place names one, while the place itself has the last word.
func TestAPlaceBringsItsOwnPlastic(t *testing.T) {
	c := load(t, `
process: {material: pla, bridge: 15 mm, flow: 9 mm3/s}
rules: {thin-wall: {limits: {thickness: 3 mm}}}
places:
  - {paths: ["soft/**"], process: {material: tpu}}
  - {paths: ["soft/long/**"], process: {bridge: 4 mm}}
  - {paths: ["hard/**"], process: {material: abs, bridge: 7 mm}}
`)
	assert.Equal(t, 15.0, c.For("a").Process.Bridge)
	soft := c.For("soft/a").Process
	assert.Equal(t, []float64{2, 2, 1.21}, []float64{soft.Bridge, soft.Flow, soft.Density})
	assert.InDelta(t, 1.2, limitOf(t, c, "soft/a", "thin-wall", "thickness"), 1e-9, "the set of tpu says three lines")
	assert.Equal(t, 3.0, limitOf(t, c, "hard/a", "thin-wall", "thickness"))
	assert.Equal(t, 4.0, c.For("soft/long/a").Process.Bridge)
	assert.Equal(t, 7.0, c.For("hard/a").Process.Bridge)

	c = load(t, `
process: {material: tpu}
places: [{paths: ["hard/**"], process: {material: pla}}]
`)
	assert.InDelta(t, 0.8, limitOf(t, c, "hard/a", "thin-wall", "thickness"), 1e-9, "three lines are tpu's")
	assert.Equal(t, 10.0, c.For("hard/a").Process.Bridge)
}

// TestSignedLimits holds that a limit may fall below 0 where the measure's values do.
func TestSignedLimits(t *testing.T) {
	for text, fine := range map[string]bool{"-5 deg": true, "-91 deg": false, "91 deg": false, "90 deg": true, "0 deg": true} {
		_, err := ruleset.Load("x.yml", ruleset.Options{Catalog: measure.Catalog(), Open: func(string) ([]byte, error) {
			return []byte("rules: {tip-over: {limits: {tip: " + text + "}}}"), nil
		}})
		assert.Equal(t, fine, err == nil, "%s: %v", text, err)
	}
}

// TestFlowFollowsTheLine holds that what is laid a second grows with the section of a line up
// to what a hot end melts, and that at the usual nozzle it is the figure of the material.
func TestFlowFollowsTheLine(t *testing.T) {
	c := load(t, `
places:
  - {paths: [fine], process: {nozzle: 0.25 mm}}
  - {paths: [thin], process: {layer: 0.1 mm}}
  - {paths: [wide], process: {nozzle: 0.5 mm, layer: 0.2 mm}}
  - {paths: [coarse], process: {nozzle: 0.8 mm}}
  - {paths: [own], process: {nozzle: 0.8 mm, flow: 7 mm3/s}}
  - {paths: [soft], process: {material: tpu}}
  - {paths: [coarse-soft], process: {material: tpu, nozzle: 0.8 mm}}
`)
	for path, want := range map[string]float64{
		"a": 5, "soft": 2, "own": 7, // to the last bit
	} {
		assert.Equal(t, want, c.For(path).Process.Flow, path)
	}
	for path, want := range map[string]float64{
		"fine": 5 * 0.25 * 0.125 / 0.08, "thin": 2.5, "wide": 6.25, "coarse": 10, "coarse-soft": 4,
	} {
		assert.InDelta(t, want, c.For(path).Process.Flow, 1e-9, path)
	}
}
