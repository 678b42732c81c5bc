package ruleset

import (
	"bytes"
	"io/fs"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// compiled is the schema in a validator that is not ours.
func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schemaOf(Options{Catalog: fixture(), sets: frozen})))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("printlint.json", doc))
	s, err := c.Compile("printlint.json")
	require.NoError(t, err)
	return s
}

// plainData is a YAML file as a JSON validator sees it: days are text.
func plainData(t *testing.T, text string) any {
	t.Helper()
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal([]byte(text), &doc))
	days(&doc)
	var out any
	require.NoError(t, doc.Decode(&out))
	return out
}

func days(n *yaml.Node) {
	if n.Tag == "!!timestamp" {
		n.Tag = "!!str"
	}
	for _, c := range n.Content {
		days(c)
	}
}

func TestSchemaIsDraft7AndSteady(t *testing.T) {
	text := schemaOf(Options{Catalog: fixture(), sets: frozen})
	assert.Contains(t, string(text), `"$schema": "http://json-schema.org/draft-07/schema#"`)
	assert.Equal(t, string(text), string(schemaOf(Options{Catalog: fixture(), sets: frozen})), "two calls differ")
	compiled(t)
}

func TestSetsAndExampleFitTheSchema(t *testing.T) {
	s := compiled(t)
	files, err := fs.Glob(frozen, "*.yml")
	require.NoError(t, err)
	require.Len(t, files, 7)
	for _, f := range files {
		text, err := fs.ReadFile(frozen, f)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(plainData(t, string(text))), f)
	}
	assert.NoError(t, s.Validate(plainData(t, string(example(t)))))
}

// agreed are files about which the schema and the loader must say the same.
var agreed = []struct {
	fine bool
	text string
}{
	{true, "version: 1"},
	{false, "version: 2"},
	{false, "version: '1'"},
	{true, "$schema: ./x.json"},
	{false, "$schema: 3"},
	{false, "rule: {}"},
	{true, "use: [standard, tpu]"},
	{true, "use: []\nprocess: {nozzle: 1 mm, line: 1 mm, layer: 0.5 mm, bed: [1 m, 1 m, 1 m], bridge: 1 cm, density: 1 g/cm3, flow: 9 mm3/s}"},
	{false, "use: standard"},
	{false, "use: [3]"},
	{false, "use:"},
	{true, "process: {line: 0.42 mm, price: 25 /kg, material: pla}"},
	{true, "process: {line: .42mm, layer: 2e-1 mm, bed: [10 in, 250 mm, 25 cm]}"},
	{false, "process: {line: 0.42}"},
	{false, "process: {line: 0.42 deg}"},
	{false, "process: {line: 0.42 furlong}"},
	{false, "process: {line: [1 mm]}"},
	{false, "process: {colour: red}"},
	{false, "process: {bed: [220 mm, 220 mm]}"},
	{false, "process: {bed: 220 mm}"},
	{false, "process: []"},
	{true, "models: {include: ['**/*.stl'], exclude: [], unit: in, lfs: skip}"},
	{false, "models: {include: '**/*.stl'}"},
	{false, "models: {include: ['../x.stl']}"},
	{false, "models: {include: ['/x.stl']}"},
	{false, "models: {unit: furlong}"},
	{false, "models: {lfs: maybe}"},
	{true, "rules: {flat-base: {level: none}}"},
	{true, "rules: {flat-base: {limits: {flat: 1 cm2}, do: turn it}}"},
	{true, "rules: {fillable-layers: {limits: {open_share: 0.5}}}"},
	{false, "rules: {flat-base: {level: fatal}}"},
	{false, "rules: {flat-base: {levels: note}}"},
	{false, "rules: {flat-base: {say: ''}}"},
	{false, "rules: {flat-base: {say: [no]}}"},
	{false, "rules: {flat-base: {limits: [9 mm2]}}"},
	{false, "rules: {flat-base: {limits: {flat: [9 mm2]}}}"},
	{false, "rules: {flat-base: {limits: {flat: true}}}"},
	{false, "rules: {flat-base: {limits: {Flat: 9 mm2}}}"},
	{false, "rules: {flat-base: }"},
	{false, "rules: {Flat_Base: {level: note}}"},
	{true, "rules: {mine: {measure: column, find: slenderness > 8, level: note, say: thin, because: it snaps}}"},
	{true, "rules: {mine: {measure: island, find: true, level: note, say: here, because: it floats}}"},
	{false, "rules: {mine: {measure: colum, find: slenderness > 8, level: note, say: thin, because: it snaps}}"},
	{false, "rules: {mine: {measure: column, find: [1], level: note, say: thin, because: it snaps}}"},
	{true, "places: [{paths: ['a/**'], rules: {flat-base: {level: note}}, unit: cm, process: {layer: 0.1 mm}}]"},
	{false, "places: [{rules: {flat-base: {level: note}}}]"},
	{false, "places: [{paths: []}]"},
	{false, "places: {paths: ['a/**']}"},
	{false, "places: [{paths: ['a/**'], waivers: []}]"},
	{true, "waivers: [{path: a.stl, rule: min-wall, reason: fine, until: 2027-03-01, part: lid, box: [[0, 0, 0], [1 cm, 2, 3.5]]}]"},
	{false, "waivers: [{path: a.stl, rule: min-wall}]"},
	{false, "waivers: [{path: a.stl, reason: fine}]"},
	{false, "waivers: [{rule: min-wall, reason: fine}]"},
	{false, "waivers: [{path: a.stl, rule: min-wall, reason: ' '}]"},
	{false, "waivers: [{path: a.stl, rule: min-wall, reason: fine, until: tomorrow}]"},
	{false, "waivers: [{path: a.stl, rule: min-wall, reason: fine, box: [[0, 0], [1, 2]]}]"},
	{false, "waivers: [{path: a.stl, rule: min-wall, reason: fine, box: [[0, 0, 0]]}]"},
	{true, "fail-at: note"},
	{true, "fail-at: none"},
	{false, "fail-at: never"},
	{false, "fail-at: [error]"},
	{false, "- version: 1"},
}

func TestSchemaAndLoaderAgree(t *testing.T) {
	s := compiled(t)
	for _, a := range agreed {
		t.Run(strings.ReplaceAll(a.text, "/", "|"), func(t *testing.T) {
			_, loads := Load(".printlint.yml", Options{Catalog: fixture(), sets: frozen, Open: openOf(one(a.text))})
			valid := s.Validate(plainData(t, a.text))
			if a.fine {
				assert.NoError(t, loads, "loader")
				assert.NoError(t, valid, "schema")
				return
			}
			assert.Error(t, loads, "loader")
			assert.Error(t, valid, "schema")
		})
	}
}

// TestSchemaAsPrinted compares the whole schema, which editors all over rely on.
func TestSchemaAsPrinted(t *testing.T) {
	const golden = "testdata/schema.golden.json"
	got := schemaOf(Options{Catalog: fixture(), sets: frozen})
	if *update {
		require.NoError(t, os.WriteFile(golden, got, 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}
