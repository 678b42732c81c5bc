package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/measure/thin"
)

var gapSpec = spec{
	def: catalog.Measure{
		Name:  "gap",
		Title: "air thinner than a limit",
		Doc: `Lines of plastic spread a little, so surfaces that stand very near to each other
fuse: slots close and hinges do not turn. The gap is measured as a wall is, straight
out into the air from points spread over the surface, to a surface that faces it to
within 30 deg. Bodies that touch have no gap. Thin points within 3 mm of each other
make one site; upright slots, level ones and notches that taper to nothing are kept
apart.`,
		Source: "ray method with opposed normals, as for wall",
		Values: []catalog.Value{
			{Name: "gap", Unit: catalog.MM, Doc: "least distance; 0 where it is sharp"},
			{Name: "area", Unit: catalog.MM2, Doc: "area of the narrow place, one side of it"},
			{Name: "length", Unit: catalog.MM, Doc: "longest extent of the narrow place"},
			{Name: "width", Unit: catalog.MM, Doc: "area over length: how far the narrow place reaches across or in"},
			{Name: "upright", Unit: catalog.Bool, Doc: "the surfaces lean less than 45 deg from vertical: a slot, not a crack between layers"},
			{Name: "sharp", Unit: catalog.Bool, Doc: "the surfaces meet at less than 30 deg: a notch that tapers to nothing"},
			{Name: "bodies", Unit: catalog.Bool, Doc: "the gap lies between two separate bodies, such as parts that are to move"},
		},
		Model: []catalog.Value{
			{Name: "gap", Unit: catalog.MM, Doc: "least gap that is not a sharp notch; the limit when nothing is narrower"},
			{Name: "area", Unit: catalog.MM2, Doc: "area of all narrow places, one side of them"},
		},
		Params: []catalog.Param{{Name: "gap", Unit: catalog.MM, Doc: "look for air thinner than this", Default: 0.3}},
	},
	run: gap,
}

func gap(r *run, params []float64) (Result, error) {
	out, places, found, err := thinPlaces(r, thin.Gap, params[0])
	if err != nil {
		return Result{}, err
	}
	shell := r.body.topology().Shell
	for i := range places {
		between := 0.0 // area between bodies less area within one
		for _, k := range places[i].Samples {
			if s := &found.Samples[k]; shell[s.Tri] != shell[s.Opposite] {
				between += s.Area
			} else {
				between -= s.Area
			}
		}
		bodies := 0.0
		if between > 0 {
			bodies = 1
		}
		out.Sites[i].Values = append(out.Sites[i].Values, bodies)
	}
	return out, nil
}
