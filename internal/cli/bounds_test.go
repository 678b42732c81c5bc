package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

func TestBoundOf(t *testing.T) {
	for find, want := range map[string]string{
		"angle > limits.angle and (reach > limits.far or reach > limits.reach)": "at most",
		"reach >= limits.reach": "at most", "reach<limits.reach": "at least", "not fits or reach <= limits.reach": "at least",
		"reach > limits.far": "", "across < limits.reach": "at least", "reach > limits.reaches": "", "": "",
		"reach < limits.reach or reach > limits.reach": "",
	} {
		assert.Equal(t, want, boundOf(find, "reach"), find)
	}
}

// TestBoundsOfTheBuiltInRules holds that the page can say of many limits which way they hold
// and what they limit.
func TestBoundsOfTheBuiltInRules(t *testing.T) {
	config, err := ruleset.Load("", ruleset.Options{Catalog: measure.Catalog()})
	require.NoError(t, err)
	say := boundWords(config.Rules())
	said := 0
	for _, r := range config.Rules() {
		for _, l := range r.Limits {
			doc, bound := say(r.ID, l.Name)
			if bound != "" && doc != "" {
				said++
			}
		}
	}
	assert.Greater(t, said, 20)
	doc, bound := say("no-such-rule", "reach")
	assert.Empty(t, doc+bound)
}
