package ruleset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStandardAlone(t *testing.T) {
	c, err := Load("", Options{Catalog: fixture()})
	require.NoError(t, err)
	assert.Equal(t, []string{"standard", "pla"}, c.Sets)
	r := rule(t, c.Rules(), "max-overhang-angle")
	assert.InDelta(t, 63.435, r.Limits[0].Value, 1e-3)
	ok, err := r.Match([]float64{90, 20, 20, 200, 30, 30})
	require.NoError(t, err)
	assert.True(t, ok)
	assert.Equal(t, "underside leans 90 deg from vertical and reaches 20.0 mm past anything that carries it", r.Message([]float64{90, 20, 20, 200, 30, 30}))
	for _, r := range c.Rules() {
		v := make([]float64, len(r.def.Values))
		t.Log(r.ID, r.Level, r.Limits, r.Message(v), "/", r.Action(v))
	}
}
