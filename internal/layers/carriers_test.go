package layers

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// What carries against a look down each column: solid in the layer below, or in the one
// under that where this layer is solid over it.
func TestCarriersAgainstLookingDown(t *testing.T) {
	r := dice.New(t)
	over, bed := 0, 0
	for range 12 {
		_, soup := randomBoxes(r, 2+r.IntN(8))
		m, _ := mesh.Weld(soup).Posed(mesh.Identity)
		g, err := NewGrid(m.Box(), .3, .4)
		require.NoError(t, err)
		carriers := NewCarriers(&g)
		under, lower := NewPlane(&g), NewPlane(&g) // one and two layers below
		look := watch(func(_, layer *Layer) {
			assert.Equal(t, layer.K <= 1, carriers.Bed)
			for row := range g.Rows {
				for col := range g.Cols {
					gap := lower.Get(col, row) && layer.Solid.Get(col, row)
					require.Equal(t, under.Get(col, row) || gap, carriers.Solid.Get(col, row), "layer %d, cell %d, %d", layer.K, col, row)
					if gap && !under.Get(col, row) {
						over++
					}
				}
			}
			if carriers.Bed {
				bed++
			}
			under, lower = lower, under
			under.SetRows(layer.Solid, 0, g.Rows)
		})
		require.NoError(t, Sweep(context.Background(), m, g, Options{Tilt: 45}, carriers, look))
	}
	assert.Positive(t, over)
	assert.Positive(t, bed)
}
