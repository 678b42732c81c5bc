package ruleset

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// ofFile is a configuration with one rule over the whole model.
func ofFile(find string) string {
	return "rules: {mine: {per: model, find: " + find + ", level: note, say: 'it is {file.name}', do: 'not {file.format}', because: b}}"
}

// beside answers for a folder with these names.
func beside(names ...string) func(string, func(string) bool) bool {
	return func(_ string, test func(string) bool) bool { return slices.ContainsFunc(names, test) }
}

// TestRulesOverTheFile holds what they answer for two files.
func TestRulesOverTheFile(t *testing.T) {
	good := &catalog.File{Name: "clip_v2.stl", Folder: "parts/clips", Format: "stl", Bytes: 20e6, Models: 1, Triangles: 300_000,
		Beside: beside("ReadMe.txt", "other.stl")}
	bad := &catalog.File{Name: "Clip v2.OBJ", Format: "obj", Part: "lid", Bytes: 20_000_001, Models: 2, Triangles: 300_001}
	for _, find := range []string{
		`not file.name matches "^[a-z0-9_]+[.][a-z0-9]+$"`,
		`not file.format in ["stl", "3mf"]`,
		`file.format != "stl"`,
		`not beside("README*", "NOTE*")`,
		`not beside("readme.{md,txt}")`,
		`file.folder == ""`,
		`file.part matches "."`,
		`file.bytes > 20 MB`,
		`file.triangles > 300000 or file.bytes > 20 MB`,
		`file.models > 1 and not file.unit_stated`,
	} {
		c, err := loadText(ofFile("'" + find + "'"))
		require.NoError(t, err, find)
		r := rule(t, c.Rules(), "mine")
		assert.Equal(t, "file", r.Judges())
		for f, want := range map[*catalog.File]bool{good: false, bad: true} {
			values, err := r.Gather(f, [][]float64{{float64(f.Bytes), float64(f.Triangles), float64(f.Models), 0}}, nil, nil)
			require.NoError(t, err)
			holds, err := r.Match(values)
			require.NoError(t, err)
			assert.Equal(t, want, holds, "%s: %s", f.Name, find)
		}
		_, found := r.Example()
		assert.True(t, found, find)
	}
}

// TestWordsNameTheFile holds that its texts are filled in, and escaped where they are no text.
func TestWordsNameTheFile(t *testing.T) {
	c, err := loadText(ofFile(`'file.bytes > 1 kB'`))
	require.NoError(t, err)
	r := rule(t, c.Rules(), "mine")
	about := r.About(&catalog.File{Name: "a\xff.stl", Format: "stl"})
	assert.Equal(t, `it is a\xff.stl`, about.Message([]float64{2000}))
	assert.Equal(t, "not stl", about.Action([]float64{2000}))
	say, _ := r.General()
	assert.Equal(t, "it is {file.name}", say)
}

// TestWhatOpensAModel holds that a rule over the file alone is judged without, unless it
// asks of what is in it.
func TestWhatOpensAModel(t *testing.T) {
	for find, opens := range map[string]bool{
		`file.name matches " "`: false, `file.bytes > 1 MB`: false, `not beside("README*")`: false, `not file.unit_stated`: false,
		`file.triangles > 3`: true, `file.models > 1`: true, `file.part == ""`: true, `size.z > 3 mm`: true, `count(bridge) > 1`: true,
		`file.bytes > 1 MB or mesh.shells > 1`: true,
	} {
		c, err := loadText("use: []\nprocess: " + wholeProcess + "\n" + ofFile("'"+find+"'"))
		require.NoError(t, err)
		assert.Equal(t, opens, c.For("a.stl").Opens(), find)
	}
	c, err := loadText("use: []\nprocess: " + wholeProcess + "\nrules: {mine: {per: model, find: 'file.bytes > 1 B', level: note, say: '{file.part} {file.triangles}', because: b}}")
	require.NoError(t, err)
	assert.True(t, c.For("a.stl").Opens(), "its words speak of what is inside")
	c, err = loadText("rules: {}")
	require.NoError(t, err)
	assert.True(t, c.For("a.stl").Opens(), "rules over places")
}

const wholeProcess = "{material: test, nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bed: [220 mm, 220 mm, 250 mm], bridge: 10 mm, density: 1.0 g/cm3, flow: 8 mm3/s}"

// TestWhatIsBesideIsKnown holds that a stored result is not taken when a note comes or goes.
func TestWhatIsBesideIsKnown(t *testing.T) {
	c, err := loadText(ofFile(`'not beside("README*") and not beside("LICENSE*")'`))
	require.NoError(t, err)
	with := func(names ...string) *catalog.File {
		return &catalog.File{Beside: beside(names...)}
	}
	assert.Equal(t, "--", c.Beside(with()))
	assert.Equal(t, "-+", c.Beside(with("license.txt", "a.stl")))
	c, err = loadText(ofFile(`'file.name == "x"'`))
	require.NoError(t, err)
	assert.Empty(t, c.Beside(with("README.md")))
}

// TestMistakesInRulesOverTheFile holds what is answered to each, all on load.
func TestMistakesInRulesOverTheFile(t *testing.T) {
	for find, want := range map[string]string{
		`file.nam == "x"`:                     `1:35: nothing here is called "file.nam" (did you mean "file.name"?)`,
		`name == "x"`:                         `1:35: nothing here is called "name"; a rule with per: model names the measure before the value, as in file.name`,
		`file.name > 3 mm`:                    `1:45: file.name is text: write matches, ==, != or in behind it, as in file.name == "..."`,
		`file.bytes == "20 MB"`:               `1:49: a number stands without quotes: write 20 MB`,
		`file.bytes > 20`:                     `1:48: B on the left of >, but a bare number on its right; does the number lack its unit?`,
		`file.bytes > 20 mm`:                  `1:48: B on the left of >, but mm on its right`,
		`file.name matches "a(b"`:             `1:54: "a(b" is no pattern: missing closing )`,
		`beside("docs/README")`:               `1:42: the look is into one folder, so names stand without a folder, as in README*`,
		`beside("[a")`:                        `1:42: a bracket or brace is not closed in this name`,
		`count(bridge, file.name == "x") > 1`: `1:49: nothing here is called "file.name"`,
	} {
		_, err := loadText(ofFile("'" + find + "'"))
		if assert.Error(t, err, find) {
			assert.Contains(t, err.Error(), want, find)
		}
	}
	_, err := loadText(`rules: {mine: {measure: size, find: 'file.name == "x"', level: note, say: s, because: b}}`)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "values of the whole model are for rules with per: model")
	_, err = loadText(`rules: {mine: {measure: file, find: 'name == "x"', level: note, say: s, because: b}}`)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "1:25: measure file finds no places; write per: model in place of it, and file.bytes in find")
	_, err = loadText(strings.Replace(ofFile(`'file.bytes > 1 B'`), "because: b", "because: 'for {file.name}'", 1))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "because speaks of the rule as such and cannot name {file.name}")
}
