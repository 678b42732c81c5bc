package ruleset

import (
	"io/fs"
	"os"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// valuesOf is a short way to write a measure's values: "angle deg, reach mm, joins bool".
func valuesOf(words string) []catalog.Value {
	var out []catalog.Value
	for _, w := range strings.Split(words, ",") {
		f := strings.Fields(w)
		v := catalog.Value{Name: f[0], Doc: "a value of the fixture"}
		if len(f) > 1 {
			v.Unit = catalog.Unit(f[1])
		}
		out = append(out, v)
	}
	return out
}

// frozen stands in for the built-in ones: a snapshot, so that tests of the language do not
// follow every change of a limit. The sets themselves are tested beside them.
var frozen = os.DirFS("testdata/sets")

// fixture is a catalogue of the measures that the snapshot of the sets judges.
func fixture() []catalog.Measure {
	angle := catalog.Param{Name: "angle", Unit: catalog.Deg, Default: 45, Doc: "lean that counts as hanging"}
	reach := catalog.Param{Name: "reach", Unit: catalog.MM, Default: 2, Doc: "reach that needs no bridge"}
	thickness := catalog.Param{Name: "thickness", Unit: catalog.MM, Default: 0.8, Doc: "what counts as thin"}
	list := []catalog.Measure{
		{Name: "size", Values: valuesOf("x mm, y mm, z mm, longest mm, shortest mm, fits bool")},
		{Name: "mesh", Values: valuesOf("open, length mm, crowded, reversed, inside_out bool, zero, duplicate, crossing")},
		{Name: "base", Values: valuesOf("area mm2, flat mm2, share, width mm, pieces, height mm")},
		{Name: "overhang", Values: valuesOf("angle deg, reach mm, ledge mm, area mm2, z mm, drop mm"), Params: []catalog.Param{angle, reach}},
		{Name: "bridge", Values: valuesOf("span mm, ledge mm, rest mm, width mm, area mm2, angle deg, z mm, sequential bool"), Params: []catalog.Param{angle, reach}},
		{Name: "island", Values: valuesOf("area mm2, widest mm2, rise mm, drop mm, z mm, joins bool")},
		{Name: "wall", Values: valuesOf("thickness mm, area mm2, length mm, width mm, upright bool, sharp bool"), Params: []catalog.Param{thickness}},
		{Name: "filling", Values: valuesOf("open_share, layers")},
		{Name: "column", Values: valuesOf("width mm, height mm, slenderness, z mm")},
		{Name: "total"},
		{Name: "cost", Values: valuesOf("mass g, time min, flow mm3/s, volume mm3, density g/cm3, price /kg")},
	}
	list = append(list, catalog.Measure{Name: "file", Texts: catalog.FileTexts(), Unopened: []string{"bytes", "unit_stated", "name", "folder", "format", "beside()"},
		Model: valuesOf("bytes B, triangles, models, unit_stated bool")})
	for name, values := range map[string]string{
		"total": "sites", "size": "x mm, y mm, z mm", "mesh": "shells, triangles, volume mm3", "overhang": "sites, area mm2", "bridge": "sites, span mm", "cost": "mass g, time min, money",
	} {
		find(list, name).Model = valuesOf(values)
	}
	find(list, "cost").Model[2].Needs = "price"
	find(list, "mesh").Model[2].Signed = true
	return list
}

// openOf is an Open over a few files.
func openOf(files map[string]string) Open {
	return func(path string) ([]byte, error) {
		if text, ok := files[path]; ok {
			return []byte(text), nil
		}
		return nil, fs.ErrNotExist
	}
}

// listing is a List over a few files.
func listing(files map[string]string) List {
	return func(folder string) (names []string, err error) {
		for name := range files {
			if path.Dir(name) == folder {
				names = append(names, path.Base(name))
			}
		}
		return names, nil
	}
}

// load reads a configuration that must be right.
func load(t *testing.T, files map[string]string) *Config {
	t.Helper()
	c, err := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(files), List: listing(files), Today: "2026-06-01"})
	require.NoError(t, err)
	return c
}

// one is a file tree of one configuration.
func one(text string) map[string]string { return map[string]string{".printlint.yml": text} }

// rule finds a rule that must be there.
func rule(t *testing.T, rules []*Rule, id string) *Rule {
	t.Helper()
	for _, r := range rules {
		if r.ID == id {
			return r
		}
	}
	require.Fail(t, "no rule "+id)
	return nil
}
