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
	over, bed, far, like := 0, 0, 0, 0
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
					away := layer.Solid.Get(col, row) && !near(carriers.Solid, col, row)
					require.Equal(t, away, carriers.Far.Get(col, row), "far: layer %d, cell %d, %d", layer.K, col, row)
					if away {
						far++
					}
				}
				if row < layer.From || row >= layer.To {
					require.Equal(t, under.Row(row), layer.Solid.Row(row), "layer %d, row %d is outside of what changed, [%d, %d)", layer.K, row, layer.From, layer.To)
					like++
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
	assert.Positive(t, far)
	assert.Positive(t, like)
}

// near reports whether a cell or one beside it is set, corners included.
func near(p *Plane, col, row int) bool {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if p.Get(col+dx, row+dy) {
				return true
			}
		}
	}
	return false
}
