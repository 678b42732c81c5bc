package expression

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
)

// TestCountsAreTakenUpWithTheirWords holds what is handed over for each count: its words with
// one space where several stand, and a condition over the values of a site.
func TestCountsAreTakenUpWithTheirWords(t *testing.T) {
	type taken struct {
		words     string
		condition Program
	}
	var list []taken
	names := Names{
		Find: func(string) (Meaning, bool) { return Meaning{}, false },
		Count: func(measure string) *Counted {
			require.Equal(t, "bridge", measure)
			return &Counted{
				Site: Names{Find: func(name string) (Meaning, bool) { return Meaning{Value: 0, Unit: catalog.MM}, name == "span" }},
				Add: func(words string, condition Program) Meaning {
					list = append(list, taken{words, condition})
					return Meaning{Value: len(list) - 1}
				},
			}
		},
	}
	run, dim, bad := Compile("count(bridge,  span >\n 20 mm) > 2 or 2 * count( bridge ) < 3", names)
	require.Nil(t, bad)
	assert.Equal(t, Truth, dim)
	require.Len(t, list, 2)
	assert.Equal(t, "count(bridge, span > 20 mm)", list[0].words)
	assert.Equal(t, []float64{0, 1}, []float64{list[0].condition([]float64{20}), list[0].condition([]float64{21})})
	assert.Equal(t, 1.0, list[1].condition([]float64{0}), "all of them")
	for _, c := range []struct{ few, all, want float64 }{{3, 9, 1}, {2, 9, 0}, {0, 1, 1}} {
		assert.Equal(t, c.want, run([]float64{c.few, c.all}))
	}
}
