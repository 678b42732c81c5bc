package measure

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// cavityLeast is the volume in mm3 below which a void is left out: a few cells of a
// few layers, which come and go with the place of the lattice.
const cavityLeast = 1

var cavitySpec = spec{
	def: catalog.Measure{
		Name:  "cavity",
		Title: "hollows that nothing can get out of",
		Doc: `A hollow with no way out keeps whatever is in it: support that its ceiling needed
can never be taken out, and a fill of water, resin or powder stays. Often nobody meant
it: two bodies were pushed together and left a gap between them, or a shell was
hollowed and never opened. Empty cells are joined where they share a side, in a layer
and from one layer to the next; what never reaches the air around the model is a
cavity. A hollow that is open only towards the bed is none: the bed closes it for
the time of the print, and it is open again once the print is lifted off. A vent
narrower than a cell, or lower than a layer, is not seen. Voids of less than 1 mm3
are left out.`,
		Source: "own definition on filled layers; equals the connected components of the complement that do not reach infinity, but for what the bed covers",
		Values: []catalog.Value{
			{Name: "volume", Unit: catalog.MM3, Doc: "volume of the hollow"},
			{Name: "area", Unit: catalog.MM2, Doc: "largest area of a piece of it in one layer"},
			{Name: "z", Unit: catalog.MM, Doc: "height of its floor above the bed"},
			{Name: "height", Unit: catalog.MM, Doc: "height from its floor to its ceiling"},
		},
		Model: []catalog.Value{
			{Name: "sites", Doc: "sealed hollows"},
			{Name: "volume", Unit: catalog.MM3, Doc: "their volume"},
		},
	},
	run: cavity,
}

// cavity tells the sealed voids.
func cavity(r *run, _ []float64) (Result, error) {
	s, err := r.layers()
	if err != nil {
		return Result{}, err
	}
	var out Result
	total := 0.0
	g, v := &s.grid, s.cavities
	if len(v.hollows) > mostBodies {
		return out, fmt.Errorf("more than %d hollows in its layers: %w", mostBodies, work.ErrTooMuch)
	}
	for i := 1; i < len(v.hollows); i++ {
		h := &v.hollows[i]
		volume := float64(g.Area(h.volume) * g.Height)
		if int(v.sets.Root(int32(i))) != i || volume < cavityLeast {
			continue
		}
		if total += volume; len(out.Sites) == mostSites {
			return Result{}, tooMany("sealed hollows")
		}
		x, y := g.Center(int(h.first.From+h.first.To)/2, int(h.first.Row))
		at := mesh.Vec{X: x, Y: y, Z: g.Floor(int(h.box.layer[0]))}
		out.Sites = append(out.Sites, Site{At: s.place.Back(at), Box: s.place.BackBox(boxMM(g, &h.box)), Values: []float64{
			volume, g.Area(h.area), at.Z, float64(h.box.layer[1]-h.box.layer[0]) * g.Height}})
	}
	out.Model = []float64{float64(len(out.Sites)), total}
	return out, r.pin(out.Sites)
}
