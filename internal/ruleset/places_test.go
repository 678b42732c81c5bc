package ruleset

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

const withPlaces = `
process: {material: petg}
places:
  - paths: ["statues/**", "busts.zip"]
    rules: {flat-base: {level: note, limits: {flat: 2 mm2}}}
  - paths: ["statues/small/**"]
    rules: {flat-base: {level: warning}}
    process: {layer: 0.1 mm}
  - paths: ["soft/**"]
    process: {material: tpu}
    unit: in
`

func TestPlaces(t *testing.T) {
	c := load(t, one(withPlaces))
	for path, want := range map[string]struct {
		level    finding.Level
		flat     float64
		document float64
	}{
		"clip.stl":                         {finding.Error, 9, 0.2},
		"statues/a.stl":                    {finding.Note, 2, 0.2},
		"statues/small/a.stl":              {finding.Warning, 2, 0.1},
		"statues/pack.zip!/in/a.stl":       {finding.Note, 2, 0.2},
		"busts.zip!/a.stl":                 {finding.Note, 2, 0.2},
		"busts.zip!/deep.zip!/in/a.stl":    {finding.Note, 2, 0.2},
		"other/busts.zip!/a.stl":           {finding.Error, 9, 0.2},
		"statuesque.stl":                   {finding.Error, 9, 0.2},
		"packs/statues.zip!/statues/b.stl": {finding.Error, 9, 0.2},
	} {
		v := c.For(path)
		r := rule(t, v.Rules, "flat-base")
		assert.Equal(t, want.level, r.Level, path)
		assert.Equal(t, want.flat, r.limit("flat").Value, path)
		assert.Equal(t, want.document, v.Process.Layer, path)
		assert.NoError(t, v.Err)
	}
	assert.Same(t, c.For("statues/a.stl"), c.For("statues/b.stl"), "one view for the same places")
}

// TestMaterialOfAPlace holds that another plastic brings its own figures and limits,
// and takes those of the first away.
func TestMaterialOfAPlace(t *testing.T) {
	c := load(t, one(withPlaces))
	assert.Equal(t, 1.27, c.Process.Density)
	assert.Equal(t, 0.8, rule(t, c.Rules(), "thin-wall").limit("thickness").Value)
	v := c.For("soft/a.stl")
	assert.Equal(t, 1.21, v.Process.Density)
	assert.InDelta(t, 1.2, rule(t, v.Rules, "thin-wall").limit("thickness").Value, 1e-12)
	assert.Equal(t, 25.4, v.Unit.Factor)

	back := load(t, one("use: [standard, tpu]\nplaces: [{paths: ['**'], process: {material: pla}}]"))
	assert.Equal(t, 2.0, back.Process.Bridge)
	assert.Equal(t, 10.0, back.For("a.stl").Process.Bridge)
	assert.Equal(t, 0.8, rule(t, back.For("a.stl").Rules, "thin-wall").limit("thickness").Value, "tpu's limit stays behind")
}

// TestMaterialLiesUnderOnesOwnFiles holds that naming a plastic overrides no house rule.
func TestMaterialLiesUnderOnesOwnFiles(t *testing.T) {
	files := map[string]string{
		".printlint.yml": "use: [standard, house.yml]\nprocess: {material: tpu}",
		"house.yml":      "process: {bridge: 4 mm}\nrules: {thin-wall: {limits: {thickness: 1 mm}}}",
	}
	c := load(t, files)
	assert.Equal(t, []string{"standard", "tpu", "house.yml", ".printlint.yml"}, c.Sets)
	assert.Equal(t, 4.0, c.Process.Bridge)
	assert.Equal(t, 1.0, rule(t, c.Rules(), "thin-wall").limit("thickness").Value)
}

func TestMaterialOfOnesOwn(t *testing.T) {
	c := load(t, one("process: {material: asa, bridge: 6 mm, density: 1.07 g/cm3, flow: 4 mm3/s}"))
	assert.Equal(t, []string{"standard", ".printlint.yml"}, c.Sets)
	assert.Equal(t, "asa", c.Process.Material)
}

// TestPlacesThatClash holds that two places, each fine alone, are told of together.
func TestPlacesThatClash(t *testing.T) {
	c := load(t, one(`
places:
  - {paths: ["fine/**"], process: {nozzle: 0.25 mm}}
  - {paths: ["**/coarse/**"], process: {layer: 0.3 mm}}
`))
	assert.NoError(t, c.For("fine/a.stl").Err)
	assert.NoError(t, c.For("coarse/a.stl").Err)
	assert.EqualError(t, c.For("fine/coarse/a.stl").Err, ".printlint.yml:4:48: a layer of 0.3 mm is too high for a nozzle of 0.25 mm; above 0.8 of the nozzle lines are not pressed onto the layer below (common practice, no source); without layer it follows the nozzle")
	v := c.For("fine/coarse/a.stl")
	require.NotEmpty(t, v.Rules)
	for _, r := range v.Rules {
		_, err := r.Match(make([]float64, len(r.def.Values)))
		assert.Equal(t, v.Err, err, r.ID)
	}
	_, err := rule(t, c.Rules(), "flat-base").Match(make([]float64, 6))
	assert.NoError(t, err)
	assert.NoError(t, c.For("fine/a.stl").Err, "and the others stay as they were")
}

// TestUnitsOfPlaces holds that a limit which only places bring has its unit, the last
// place's where they differ, every time.
func TestUnitsOfPlaces(t *testing.T) {
	for range 20 {
		c := load(t, one(`
places:
  - {paths: [a], rules: {flat-base: {limits: {x: 1 mm}, find: "width < limits.x or flat < limits.flat"}}}
  - {paths: [b], rules: {flat-base: {limits: {x: 1 mm2}, find: "area < limits.x or flat < limits.flat"}}}
`))
		assert.Equal(t, "mm2", c.Units("flat-base")["limits.x"])
	}
}

// TestForIsSafe asks for many paths at once; the race detector watches.
func TestForIsSafe(t *testing.T) {
	c := load(t, one(withPlaces)).NewUsage()
	var group sync.WaitGroup
	for _, path := range []string{"a.stl", "statues/a.stl", "statues/small/a.stl", "soft/a.stl", "statues/small/b.stl"} {
		for range 8 {
			group.Go(func() {
				for _, r := range c.For(path).Rules {
					_, err := r.Match(make([]float64, len(r.def.Values)))
					assert.NoError(t, err)
				}
				c.Waive(path, "", "flat-base", [2][3]float64{})
			})
		}
	}
	group.Wait()
}

// TestDigest holds that it follows what decides a verdict, and nothing else.
func TestDigest(t *testing.T) {
	digest := func(text string) string { return load(t, one(text)).Digest }
	plain := digest("use: [standard]")
	assert.Len(t, plain, 64)
	assert.Equal(t, plain, digest("# a comment\nversion: 1\nuse:\n  - standard\n"))
	assert.Equal(t, plain, digest("rules: {flat-base: {limits: {flat: 0.09 cm2}}}"), "the same limit in other words")
	house := load(t, map[string]string{".printlint.yml": "use: [standard, h.yml]", "h.yml": "rules: {flat-base: {level: error}}"})
	assert.Equal(t, plain, house.Digest, "a set that says what holds anyway")
	seen := map[string]string{plain: "nothing"}
	for _, text := range []string{
		"process: {layer: 0.15 mm}", "process: {bed: [1 m, 1 m, 1 m]}", "process: {price: 9 /kg}", "rules: {flat-base: {level: note}}",
		"rules: {flat-base: {limits: {flat: 8 mm2}}}", "rules: {flat-base: {say: other}}", "rules: {flat-base: {do: other}}",
		"models: {include: [a]}", "models: {exclude: [a]}", "models: {unit: in}", "models: {lfs: skip}", "fail-at: note",
		"places: [{paths: [a], unit: in}]", "places: [{paths: [b], unit: in}]", "use: [strict]", "process: {material: abs}",
		"waivers: [{path: a, rule: flat-base, reason: b}]", "waivers: [{path: a, rule: flat-base, reason: b, until: 2027-01-01}]",
		"waivers: [{path: a, rule: flat-base, reason: b, box: [[0, 0, 0], [1, 1, 1]]}]",
		"waivers: [{path: a, rule: flat-base, reason: b, until: 2020-01-01}]",
	} {
		d := digest(text)
		require.Empty(t, seen[d], "%s has the digest of %s", text, seen[d])
		seen[d] = text
	}
}
