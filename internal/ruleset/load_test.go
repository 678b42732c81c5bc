package ruleset

import (
	"errors"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

func TestNoFileIsTheStandardSet(t *testing.T) {
	c, err := Load("", Options{Catalog: fixture(), sets: frozen})
	require.NoError(t, err)
	assert.Equal(t, []string{"standard", "pla"}, c.Sets)
	assert.Equal(t, catalog.Process{
		Material: "pla", Nozzle: 0.4, Line: 0.4, Layer: 0.2, Bed: [3]float64{220, 220, 250}, Bridge: 10, Density: 1.24, Flow: 5,
	}, c.Process)
	assert.Equal(t, ModelGlobs, c.Include)
	assert.Empty(t, c.Exclude)
	assert.Equal(t, "mm", c.For("a.stl").Unit.Word)
	assert.Equal(t, "error", c.LFS)
	assert.Equal(t, finding.Error, c.FailAt)
}

// TestEmptyFileIsNoFile holds a file that says nothing to no file at all.
func TestEmptyFileIsNoFile(t *testing.T) {
	bare, err := Load("", Options{Catalog: fixture(), sets: frozen})
	require.NoError(t, err)
	for _, text := range []string{"", "\n", "# nothing yet\n", "---\n", "version: 1", "\ufeffversion: 1\r\n"} {
		c := load(t, one(text))
		assert.Equal(t, bare.Digest, c.Digest, "%q", text)
		assert.Equal(t, []string{"standard", "pla", ".printlint.yml"}, c.Sets)
	}
}

func TestTopLevelKeys(t *testing.T) {
	c := load(t, one(`
$schema: ./schema.json
version: 1
models: {include: ["parts/**"], exclude: ["**/old/*", "x.stl"], unit: in, lfs: skip}
fail-at: warning
`))
	assert.Equal(t, []string{"parts/**"}, c.Include)
	assert.Equal(t, []string{"**/old/*", "x.stl"}, c.Exclude)
	assert.Equal(t, "in", c.For("a.stl").Unit.Word)
	assert.Equal(t, 25.4, c.For("a.stl").Unit.Factor)
	assert.Equal(t, "skip", c.LFS)
	assert.Equal(t, finding.Warning, c.FailAt)
}

// TestLaterWinsFieldByField lays three files over each other.
func TestLaterWinsFieldByField(t *testing.T) {
	c := load(t, map[string]string{
		".printlint.yml":  "use: [standard, sets/house.yml]\nrules: {flat-base: {limits: {flat: 5 mm2}}}",
		"sets/house.yml":  "use: [shared.yml]\nrules: {flat-base: {level: note, limits: {flat: 6 mm2}}}",
		"sets/shared.yml": "process: {layer: 0.1 mm}\nrules: {flat-base: {level: warning, do: glue it}}",
	})
	assert.Equal(t, []string{"standard", "pla", "sets/shared.yml", "sets/house.yml", ".printlint.yml"}, c.Sets)
	r := rule(t, c.Rules(), "flat-base")
	assert.Equal(t, finding.Note, r.Level)
	assert.Equal(t, 5.0, r.Limits[0].Value)
	assert.Equal(t, "glue it", r.Action(make([]float64, 6)))
	assert.Equal(t, 0.1, c.Process.Layer)
	assert.Equal(t, Position{".printlint.yml", 2, 36}, r.Limits[0].From)
	from := map[string]string{}
	for _, o := range r.Origins {
		from[o.Field] = o.Position.String()
	}
	assert.Equal(t, "sets/house.yml:2:28", from["level"])
	assert.Equal(t, "sets/shared.yml:2:41", from["do"])
	assert.Equal(t, ".printlint.yml:2:36", from["limits.flat"])
	assert.Regexp(t, `^built-in/standard\.yml:\d+:\d+$`, from["measure"])
}

// TestASetIsLaidOnce holds that a set used by two others stays below both.
func TestASetIsLaidOnce(t *testing.T) {
	c := load(t, map[string]string{
		".printlint.yml": "use: [a.yml, strict, standard]",
		"a.yml":          "use: [standard]\nrules: {thin-wall: {level: note}, crowded-edges: {level: none}}",
	})
	assert.Equal(t, []string{"standard", "pla", "a.yml", "strict", ".printlint.yml"}, c.Sets)
	assert.Equal(t, finding.Error, rule(t, c.Rules(), "thin-wall").Level, "strict comes later and wins")
	assert.Equal(t, finding.Warning, rule(t, c.Rules(), "crowded-edges").Level)
}

func TestLevelNoneSwitchesOff(t *testing.T) {
	c := load(t, one("rules: {crowded-edges: {level: none}}"))
	assert.Equal(t, finding.None, rule(t, c.Rules(), "crowded-edges").Level, "listed all the same")
	for _, r := range c.For("a.stl").Rules {
		assert.NotEqual(t, "crowded-edges", r.ID, "in force all the same")
	}
}

// TestLimitsFollowTheProcess moves the process and sees the limits move.
func TestLimitsFollowTheProcess(t *testing.T) {
	c := load(t, one("process: {layer: 0.3 mm, nozzle: 0.6 mm, line: 0.6 mm, material: petg}"))
	assert.InDelta(t, 63.4349, rule(t, c.Rules(), "max-overhang-angle").limit("angle").Value, 1e-3)
	assert.InDelta(t, 45, rule(t, c.Rules(), "rough-underside").limit("angle").Value, 1e-9)
	assert.Equal(t, 0.6, rule(t, c.Rules(), "min-wall").limit("thickness").Value)
	assert.Equal(t, 15.0, rule(t, c.Rules(), "max-bridge-length").limit("span").Value)
}

// TestHalfAndWholeLine checks the two angles against a table that was computed apart.
func TestHalfAndWholeLine(t *testing.T) {
	for _, row := range []struct{ document, line, half, whole string }{
		{"0.1", "0.4", "63.4°", "76°"}, {"0.2", "0.4", "45°", "63.4°"}, {"0.2", "0.45", "48.4°", "66°"},
		{"0.28", "0.42", "36.9°", "56.3°"}, {"0.3", "0.4", "33.7°", "53.1°"},
	} {
		c := load(t, one("process: {layer: "+row.document+" mm, line: "+row.line+" mm}"))
		half := rule(t, c.Rules(), "rough-underside").limit("angle")
		whole := rule(t, c.Rules(), "max-overhang-angle").limit("angle")
		assert.Equal(t, row.half, catalog.FormatLimit(half.Value, half.Unit), row)
		assert.Equal(t, row.whole, catalog.FormatLimit(whole.Value, whole.Unit), row)
	}
}

func TestParams(t *testing.T) {
	c := load(t, one(`
rules:
  mine: {measure: overhang, find: angle > 50 deg, level: note, say: s, because: b}
  yours: {measure: overhang, limits: {reach: 1 in}, find: angle > 50 deg, level: note, say: s, because: b}
`))
	assert.Equal(t, []float64{45, 2}, rule(t, c.Rules(), "mine").Asks()[0].Params, "the measure's own defaults")
	assert.Equal(t, []float64{45, 25.4}, rule(t, c.Rules(), "yours").Asks()[0].Params)
	assert.Empty(t, rule(t, c.Rules(), "flat-base").Asks()[0].Params)
}

// TestFailuresOfOpen words what the file system says, without naming a path twice.
func TestFailuresOfOpen(t *testing.T) {
	denied := &fs.PathError{Op: "open", Path: "/somewhere/else", Err: fs.ErrPermission}
	_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: func(string) ([]byte, error) { return nil, denied }})
	assert.EqualError(t, err, ".printlint.yml: cannot be read: permission denied")
	open := func(path string) ([]byte, error) {
		if path == "sub/.printlint.yml" {
			return []byte("use: [standard, house.yml]"), nil
		}
		return nil, errors.New("too many links")
	}
	_, err = Load("sub/.printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: open})
	assert.EqualError(t, err, "sub/.printlint.yml:1:17: sub/house.yml cannot be read: too many links")
}

func TestFileTooLarge(t *testing.T) {
	_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(one(strings.Repeat("# a\n", maxFile/4+1)))})
	assert.EqualError(t, err, ".printlint.yml: the file has 1048580 bytes, more than the 1048576 a file of rules may have")
}

// TestDeepNesting holds that no depth of brackets brings the loader down.
func TestDeepNesting(t *testing.T) {
	for _, text := range []string{
		"rules: " + strings.Repeat("[", 200_000), "rules: " + strings.Repeat("{a: ", 100_000), strings.Repeat("- ", 100_000),
		"rules: {flat-base: {find: " + strings.Repeat("(", 900) + "}}", "rules: {flat-base: {find: '" + strings.Repeat("not ", 240) + "flat > 1 mm2'}}",
	} {
		_, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(one(text))})
		assert.IsType(t, &Problems{}, err)
	}
}

// A built-in material changes limits of rules of standard; who uses no such rule gets its
// figures all the same, and no complaint about a file that is not theirs.
func TestMaterialWithoutTheRulesItChanges(t *testing.T) {
	text := `
use: []
process: {material: tpu, nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bed: [220 mm, 220 mm, 250 mm]}
rules:
  tall: {measure: size, find: z > 100 mm, level: error, say: tall, because: it sways}
`
	c := load(t, one(text))
	require.Len(t, c.Rules(), 1)
	assert.Equal(t, 2.0, c.For("a.stl").Process.Bridge)
	placed := strings.Replace(text, "material: tpu", "material: pla", 1) + "places: [{paths: [soft], process: {material: tpu}}]\n"
	c = load(t, one(placed))
	assert.Len(t, c.For("soft/a.stl").Rules, 1)
	assert.Equal(t, 2.0, c.For("soft/a.stl").Process.Bridge)
}
