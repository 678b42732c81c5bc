package measure

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/layers"
)

var fillingSpec = spec{
	def: catalog.Measure{
		Name:  "filling",
		Title: "how much of the stack of layers could be filled",
		Doc: `Before anything can be said of the shape, each layer is cut and filled between its
outlines. Where the surface has a hole, an outline does not close and the rows that
meet it cannot be filled.`,
		Source: "own definition",
		Values: []catalog.Value{
			{Name: "open_share", Doc: "share of the rows of all layers whose outline does not close, 0 to 1"},
			{Name: "layers", Doc: "layers with at least one such row"},
		},
		Model: []catalog.Value{
			{Name: "open_share", Doc: "share of the rows of all layers whose outline does not close, 0 to 1"},
			{Name: "layers", Doc: "layers cut"},
			{Name: "cell", Unit: catalog.MM, Doc: "side of the cells the layers were filled with"},
		},
	},
	needs: needStack,
	run:   filling,
}

// fillingVisitor counts rows that could not be filled.
type fillingVisitor struct{ open, used, layers, first int }

func (v *fillingVisitor) Visit(_, layer *layers.Layer) {
	v.open += layer.OpenRows
	v.used += max(layer.UsedRows, layer.OpenRows) // where no row closes, none is filled
	if layer.OpenRows > 0 {
		if v.layers == 0 {
			v.first = layer.K
		}
		v.layers++
	}
}

// undecidedShare is the share of open rows beyond which the shape cannot be judged.
const undecidedShare = 0.02

func filling(r *run, _ []float64) (Result, error) {
	s, err := r.layers()
	if err != nil {
		return Result{}, err
	}
	v := s.filling
	share := 0.0
	if v.used > 0 {
		share = float64(v.open) / float64(v.used)
	}
	out := Result{Model: []float64{share, float64(s.grid.Layers), s.grid.Cell}}
	if v.open > 0 {
		box := s.mesh.Box()
		at := box.Min.Add(box.Max).Scale(0.5)
		at.Z = s.grid.Floor(v.first)
		out.Sites = []Site{{At: s.place.Back(at), Box: s.place.BackBox(box), Tris: []uint32{0}, Values: []float64{share, float64(v.layers)}}}
	}
	if share > undecidedShare {
		out.Undecided = fmt.Sprintf("%.0f %% of the rows in its layers do not close", share*100)
	}
	return out, nil
}
