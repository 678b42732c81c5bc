package layers

import "math/bits"

// Tops is a visitor that knows, for each cell, the highest solid layer below the
// one being visited: what a support under that cell would stand on.
type Tops struct {
	grid *Grid
	// at holds 1 + the index of that layer, or 0 where only the bed is below.
	at []uint16
}

// NewTops returns a visitor for the grid. It must come before those that ask it.
func NewTops(g *Grid) *Tops {
	return &Tops{grid: g, at: make([]uint16, g.Rows*g.Cols)}
}

// Visit notes where the layer below ends.
func (t *Tops) Visit(below, layer *Layer) {
	if below.K < 0 {
		return
	}
	under, over := below.Solid, layer.Solid
	top := uint16(below.K + 1)
	for row := max(under.Low, layer.From); row < min(under.High, layer.To); row++ {
		a, b := under.Row(row), over.Row(row)
		at := t.at[row*t.grid.Cols : (row+1)*t.grid.Cols]
		for i := range a {
			for w := a[i] &^ b[i]; w != 0; {
				from := bits.TrailingZeros64(w)
				n := bits.TrailingZeros64(^(w >> from))
				for j := i*64 + from; j < i*64+from+n; j++ {
					at[j] = top
				}
				w &^= (1<<n - 1) << from
			}
		}
	}
}

// Under returns how many layers of plastic and air lie below the floor of what a
// column from this cell down would land on: 0 means the bed.
func (t *Tops) Under(col, row int) int { return int(t.at[row*t.grid.Cols+col]) }
