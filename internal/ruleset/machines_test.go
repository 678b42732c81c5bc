package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// shelf is a configuration of two machines.
func shelf() map[string]string {
	return map[string]string{
		".printlint.yml": `
process: {nozzle: 0.4 mm, density: 1.1 g/cm3}
machines: [machines/*.yml, machines/bench.yml]
rules: {max-bridge-length: {limits: {span: 20 mm}}}
places:
  - {paths: [big], process: {bed: [500 mm, 500 mm, 500 mm]}}
  - {paths: [soft], process: {material: tpu}}
`,
		"machines/mini.yml":    "version: 1\nname: mini-2\nprocess: {bed: [120 mm, 120 mm, 120 mm], material: petg, bridge: 7 mm}\n",
		"machines/bench.yml":   "process: {nozzle: 0.6 mm, line: 0.6 mm, layer: 0.3 mm}\n",
		"machines/.hidden.yml": "nonsense",
		"machines/readme.md":   "nonsense",
	}
}

func machine(t *testing.T, c *Config, name string) *Machine {
	t.Helper()
	for _, m := range c.Machines {
		if m.Name == name {
			return m
		}
	}
	require.Fail(t, "no machine "+name)
	return nil
}

// TestMachines holds what lies over what: a machine over the configuration, a place over the
// machine, a plastic's own figures over those of another, and rules as they are.
func TestMachines(t *testing.T) {
	c := load(t, shelf())
	require.Equal(t, []string{"bench", "mini-2"}, c.MachineNames(), "by the names of the files, each once")
	mini, bench := machine(t, c, "mini-2"), machine(t, c, "bench")
	assert.Equal(t, finding.Machine{Name: "mini-2", File: "machines/mini.yml", Material: "petg", Nozzle: 0.4, Line: 0.4, Layer: 0.2, Bed: [3]float64{120, 120, 120}}, mini.About())
	assert.Equal(t, 1.27, mini.Process.Density, "petg's, though the configuration has one for its own plastic")
	assert.Equal(t, 7.0, mini.Process.Bridge, "the machine's own")
	assert.Equal(t, 1.1, bench.Process.Density)
	assert.Equal(t, []float64{0.6, 0.6, 0.3}, []float64{bench.Process.Nozzle, bench.Process.Line, bench.Process.Layer})
	assert.Equal(t, 0.4, c.Process.Nozzle, "the configuration stays as it is")
	assert.Equal(t, 120.0, mini.For("a.stl").Process.Bed[0])
	assert.Equal(t, 500.0, mini.For("big/a.stl").Process.Bed[0], "a place means what it says on every machine")
	assert.Equal(t, "tpu", mini.For("soft/a.stl").Process.Material)
	assert.NotEqual(t, 7.0, mini.For("soft/a.stl").Process.Bridge, "the machine's figure is of another plastic")
	both := mini.For("big/a.stl")
	assert.Same(t, both, mini.For("big/a.stl"))
	for _, m := range c.Machines {
		assert.Equal(t, 20.0, rule(t, m.Rules(), "max-bridge-length").limit("span").Value, "on %s", m.Name)
		assert.Equal(t, c.FailAt, m.FailAt)
	}
	assert.NotEqual(t, rule(t, bench.Rules(), "min-wall").limit("thickness").Value, rule(t, mini.Rules(), "min-wall").limit("thickness").Value, "limits follow the machine")
}

// TestMachinesHavePlacesOfTheirOwn holds that several places at once are worked out for each
// machine.
func TestMachinesHavePlacesOfTheirOwn(t *testing.T) {
	files := shelf()
	files[".printlint.yml"] += "  - {paths: [big/soft], process: {material: abs}}\n"
	c := load(t, files)
	path := "big/soft/a.stl"
	assert.Equal(t, 0.4, machine(t, c, "mini-2").For(path).Process.Nozzle)
	assert.Equal(t, 0.6, machine(t, c, "bench").For(path).Process.Nozzle)
	assert.Equal(t, 0.4, c.For(path).Process.Nozzle)
}

// TestWhereAModelMustFail reads every way to say it.
func TestWhereAModelMustFail(t *testing.T) {
	for text, want := range map[string]finding.FailWhere{
		"":                                       {Policy: finding.FailOnAny},
		"fail-at: warning":                       {Policy: finding.FailOnAny},
		"fail-at: {level: warning}":              {Policy: finding.FailOnAny},
		"fail-at: {on: any}":                     {Policy: finding.FailOnAny},
		"fail-at: {on: all}":                     {Policy: finding.FailOnEvery},
		"fail-at: {on: [all]}":                   {Policy: finding.FailOnEvery},
		"fail-at: {on: bench}":                   {Policy: finding.FailOnNamed, Names: []string{"bench"}},
		"fail-at: {on: [mini-2, bench, mini-2]}": {Policy: finding.FailOnNamed, Names: []string{"mini-2", "bench"}},
	} {
		files := shelf()
		files[".printlint.yml"] += text
		c := load(t, files)
		assert.Equal(t, &want, c.Where, text)
		if text == "fail-at: {level: warning}" {
			assert.Equal(t, finding.Warning, c.FailAt)
		}
	}
	assert.Nil(t, load(t, one("version: 1")).Where)
}

// TestTheDigestSeesMachines holds that whatever changes a verdict on a machine, or how those
// make one, changes the digest, so that no stored result is taken for another's.
func TestTheDigestSeesMachines(t *testing.T) {
	seen := map[string]string{}
	for _, change := range []func(map[string]string){
		func(map[string]string) {},
		func(f map[string]string) { delete(f, "machines/mini.yml") },
		func(f map[string]string) {
			f["machines/mini.yml"] += "$schema: a\n"
			f["machines/bench.yml"] = "process: {nozzle: 0.6 mm, line: 0.7 mm, layer: 0.3 mm}"
		},
		func(f map[string]string) { f["machines/bench.yml"] += "name: other\n" },
		func(f map[string]string) { f[".printlint.yml"] += "fail-at: {on: all}\n" },
	} {
		files := shelf()
		change(files)
		digest := load(t, files).Digest
		assert.NotContains(t, seen, digest)
		seen[digest] = digest
	}
	files := shelf()
	files["machines/mini.yml"] += "# a comment\n"
	assert.Contains(t, seen, load(t, files).Digest)
}

// TestMachinesWithoutAFolderToList holds that files can be named where no folder is listed.
func TestMachinesWithoutAFolderToList(t *testing.T) {
	files := shelf()
	files[".printlint.yml"] = "machines: [machines/mini.yml]"
	c, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files)})
	require.NoError(t, err)
	assert.Equal(t, []string{"mini-2"}, c.MachineNames())
	files[".printlint.yml"] = "machines: [machines/*.yml]"
	_, err = Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files)})
	assert.ErrorContains(t, err, "folders cannot be listed here; name each file")
}
