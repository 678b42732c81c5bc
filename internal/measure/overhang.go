package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/measure/hang"
)

// angleParam is the lean from which undersides count as hanging; it comes first
// in the measures that take it.
var angleParam = catalog.Param{Name: "angle", Unit: catalog.Deg, Default: 45,
	Doc: "lean from vertical beyond which an underside counts as hanging"}

// reachParam is how far from a carrier an underside needs no bridge.
var reachParam = catalog.Param{Name: "reach", Unit: catalog.MM, Default: 2,
	Doc: "distance from what carries it up to which an underside needs no bridge"}

var overhangSpec = spec{
	def: catalog.Measure{
		Name:  "overhang",
		Title: "undersides laid on air with one end free",
		Doc: `A layer is laid on the one below. Where an underside leans so far that a line
finds little or nothing below it, the plastic sags; how far it gets before it falls
depends on how far it reaches past whatever carries it. Cells that hang and touch,
in one layer or from one layer to the next, are one patch. What can be laid as a
bridge between two carriers is taken out; the rest of the patch is the overhang.`,
		Source: "own definition on filled layers; why a line needs half its width below it: the share of a line that hangs is h tan(angle) / w, computed",
		Values: []catalog.Value{
			{Name: "angle", Unit: catalog.Deg, Doc: "steepest lean from vertical, the steepest twentieth of the area left out; a flat ceiling is 90"},
			{Name: "reach", Unit: catalog.MM, Doc: "farthest horizontal distance from what carries it, bridges included among the carriers"},
			{Name: "ledge", Unit: catalog.MM, Doc: "the same distance as if nothing could be bridged"},
			{Name: "area", Unit: catalog.MM2, Doc: "area seen from above, without what is bridged"},
			{Name: "z", Unit: catalog.MM, Doc: "height above the bed"},
			{Name: "drop", Unit: catalog.MM, Doc: "free height below, down to the model or the bed"},
		},
		Model: []catalog.Value{
			{Name: "sites", Doc: "places that hang with one end free"},
			{Name: "area", Unit: catalog.MM2, Doc: "their area seen from above"},
			{Name: "air", Unit: catalog.MM3, Doc: "volume of air below everything that hangs, down to the model or the bed"},
		},
		Params: []catalog.Param{angleParam},
	},
	run: overhang,
}

// overhang tells the part of each patch that nothing bridges.
func overhang(r *run, params []float64) (Result, error) {
	s, patches, err := r.patchesOf(params[0])
	if err != nil {
		return Result{}, err
	}
	var out Result
	area, air := 0.0, 0.0
	for i := range patches {
		p := &patches[i]
		air += p.Air
		if p.Rest <= r.process.Line+s.grid.Cell {
			continue
		}
		area += p.RestArea
		out.Sites = append(out.Sites, s.site(p, p.RestAt,
			[]float64{p.Lean, p.Rest, p.Ledge, p.RestArea, p.RestAt.At.Z, p.RestAt.Drop}))
	}
	out.Model = []float64{float64(len(out.Sites)), area, air}
	return out, nil
}

// site takes a patch to the file's own frame.
func (s *stack) site(p *hang.Patch, spot hang.Spot, values []float64) Site {
	return Site{At: s.place.Back(spot.At), Box: s.place.BackBox(p.Box), Tris: clipTris(spot.Tri, p.Tris), Values: values,
		Below: &Below{Air: p.Air, Area: p.Area, OnBed: p.OnBed, Lean: p.Lean, At: spot.At, Box: p.Box}}
}
