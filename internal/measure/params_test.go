package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// TestASharedParameterHasOneUnit holds that one limit of a rule over the whole model can
// steer all of its measures.
func TestASharedParameterHasOneUnit(t *testing.T) {
	units := map[string]catalog.Unit{}
	for _, m := range Catalog() {
		for _, p := range m.Params {
			if was, ok := units[p.Name]; ok {
				assert.Equal(t, was, p.Unit, "%s of %s", p.Name, m.Name)
			}
			units[p.Name] = p.Unit
		}
	}
	require.NotEmpty(t, units)
}
