package measure

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// cavityLeast is the volume in mm3 below which a void is left out: a few cells of a
// few layers, which come and go with the place of the lattice. Judgement, no source.
const cavityLeast = 1

// Cavity is the measure of voids without a way out.
var Cavity = overLayers(
	catalog.Measure{
		Name:  "cavity",
		Title: "hollows that nothing can get out of",
		Doc: `Nothing gets out of a hollow with no way out: support that its top needed stays in it,
and so does water, resin or powder. Often nobody wanted it: two bodies leave a gap between
them, or somebody hollowed a shell and never opened it. Empty spots that touch are joined,
in a layer and from one layer to the next; what never reaches the air around the model is
a hollow. One that is open only towards the bed is none: it is open again once you lift
the print off. A hole thinner than a tenth of a millimetre, or lower than a layer, is not
seen. Hollows of less than 1 mm³ are left out.`,
		Source: "own definition on filled layers; equals the connected components of the complement that do not reach infinity, but for what the bed covers",
	}, newCavityTracker, cavity)

// CavitySite is one cavity.
type CavitySite struct {
	Volume float64 `measure:"volume,mm3" doc:"volume of the hollow" sample:"640"`
	Area   float64 `measure:"area,mm2" doc:"largest area of a piece of it in one layer"`
	Z      float64 `measure:"z,mm" doc:"height of its floor above the bed"`
	Height float64 `measure:"height,mm" doc:"height from its floor to its ceiling" sample:"8"`
}

// CavityModel sums the cavities up.
type CavityModel struct {
	Sites  int     `measure:"sites" doc:"sealed hollows"`
	Volume float64 `measure:"volume,mm3" doc:"their volume"`
}

// cavity tells the sealed voids.
func cavity(s *stack, v *cavityTracker, _ None) (*found[CavitySite, CavityModel], error) {
	var out found[CavitySite, CavityModel]
	g := &s.grid
	if len(v.voids) > mostBodies {
		return nil, fmt.Errorf("more than %d hollows in its layers: %w", mostBodies, work.ErrTooMuch)
	}
	for i := 1; i < len(v.voids); i++ {
		h := &v.voids[i]
		volume := float64(g.Area(h.volume) * g.Height)
		if int(v.sets.Root(int32(i))) != i || volume < cavityLeast {
			continue
		}
		if out.model.Volume += volume; len(out.sites) == mostSites {
			return nil, tooMany("sealed hollows")
		}
		x, y := g.Center(int(h.first.From+h.first.To)/2, int(h.first.Row))
		at := mesh.Vec{X: x, Y: y, Z: g.Floor(int(h.box.layer[0]))}
		out.add(Site{At: s.place.Back(at), Box: s.place.BackBox(boxMM(g, &h.box))}, CavitySite{
			Volume: volume, Area: g.Area(h.area), Z: at.Z, Height: float64(h.box.layer[1]-h.box.layer[0]) * g.Height})
	}
	out.model.Sites = len(out.sites)
	return &out, s.pin(out.sites)
}
