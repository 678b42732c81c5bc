package ruleset

import (
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"printlint/internal/finding"
)

const examplePath = "../../.printlint.yml.example"

// example is the example with all that is switched off in it.
func example(t testing.TB) []byte {
	data, err := os.ReadFile(examplePath)
	require.NoError(t, err)
	whole := switchedOff.ReplaceAll(data, []byte("$1"))
	require.NotEqual(t, data, whole)
	return whole
}

// switchedOff is a # with no space behind it, or more than one.
var switchedOff = regexp.MustCompile(`(?m)^#([^ \n]|  )`)

func TestExampleLoads(t *testing.T) {
	files := one(string(example(t)))
	files["machines/bench-1.yml"] = "version: 1\nname: bench-1\nprocess: {nozzle: 0.6 mm, line: 0.6 mm}\n"
	files["machines/bench-2.yml"] = "version: 1\nprocess: {bed: [120 mm, 120 mm, 120 mm]}\n"
	files[".printlint-accepted.yml"] = "version: 1\naccepted: []\n"
	c := load(t, files)
	assert.Equal(t, []string{"standard", "petg", ".printlint.yml"}, c.Sets)
	assert.Equal(t, finding.Error, c.FailAt)
	assert.Equal(t, []string{"bench-1", "bench-2"}, c.MachineNames())
	assert.Equal(t, &finding.FailWhere{Policy: finding.FailOnAny}, c.Where)
	assert.Equal(t, 25.0, c.Process.Price)
	assert.Equal(t, 15.0, rule(t, c.Rules(), "max-bridge-length").limit("span").Value)
	assert.Equal(t, 0.42, rule(t, c.Rules(), "min-wall").limit("thickness").Value)
	assert.Equal(t, "stands 90.0 mm tall on a foot only 5.00 mm wide",
		rule(t, c.Rules(), "no-tall-narrow-prints").Message([]float64{25, 25, 1, 5, 1, 90}))
	assert.Equal(t, 25.4, c.For("from-abroad/x.stl").Unit.Factor)
	assert.Equal(t, "tpu", c.For("flexible/x.stl").Process.Material)
}

// TestExampleShowsEveryKey walks the example beside the tables of keys: a key that the
// loader knows and the example does not show fails.
func TestExampleShowsEveryKey(t *testing.T) {
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal(example(t), &doc))
	root := doc.Content[0]
	shows(t, "the configuration", mainKeys, root)
	shows(t, "process", processKeys, child(root, "process"))
	shows(t, "fail-at", failAtKeys, child(root, "fail-at"))
	shows(t, "models", modelKeys, child(root, "models"))
	shows(t, "rules", ruleKeys, child(root, "rules").Content...)
	shows(t, "places", placeKeys, child(root, "places").Content...)
	shows(t, "waiver-terms", termKeys, child(root, "waiver-terms"))
	shows(t, "waivers", waiverKeys, child(root, "waivers").Content...)
}

// shows fails for each key of a table that none of the mappings has.
func shows[T any](t *testing.T, what string, keys []key[T], mappings ...*yaml.Node) {
	require.NotEmpty(t, keys)
	for _, k := range keys {
		found := false
		for _, m := range mappings {
			found = found || child(m, k.name) != nil
		}
		assert.True(t, found, "the example shows no %q in %s", k.name, what)
	}
}

func child(n *yaml.Node, name string) *yaml.Node {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return nil
}
