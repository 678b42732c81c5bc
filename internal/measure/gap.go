package measure

import (
	"printlint/internal/catalog"
	"printlint/internal/measure/thin"
)

// Gap is the measure of thin air.
var Gap = define(
	catalog.Measure{
		Name:  "gap",
		Title: "air thinner than a limit",
		Doc: `Lines of plastic spread a little, so surfaces that are very close melt into one: slots
close and hinges do not turn. The gap is measured as a wall is, but out into the air,
to a surface that faces it to within 30°. Bodies that touch have no gap, nor has a
crack within one body whose sides come to touch. Thin points within 3 mm of each other
make one place. Upright slots, level ones and sharp notches are kept apart.`,
		Source: "ray method with opposed normals, as for wall",
	},
	func(r *evaluation, p GapParams) { r.thinner(thin.Gap, p.Gap) }, gap)

// GapParams say what is thin.
type GapParams struct {
	Gap float64 `measure:"gap,mm" default:"0.3" doc:"look for air thinner than this"`
}

// GapSite is one narrow place.
type GapSite struct {
	Gap     float64 `measure:"gap,mm" doc:"least distance; 0 where it is sharp" sample:"0.1"`
	Area    float64 `measure:"area,mm2" doc:"area of the narrow place, one side of it" sample:"40"`
	Length  float64 `measure:"length,mm" doc:"longest extent of the narrow place"`
	Width   float64 `measure:"width,mm" doc:"area over the length with its bends followed: how far the narrow place reaches across or in"`
	Upright bool    `measure:"upright" doc:"the surfaces lean less than 45° from vertical: a slot, not a crack between layers"`
	Sharp   bool    `measure:"sharp" doc:"the surfaces meet at less than 30°: a notch that tapers to nothing"`
	Bodies  bool    `measure:"bodies" doc:"the gap lies between two separate bodies, such as parts that are to move"`
}

// GapModel sums the narrow places up.
type GapModel struct {
	Gap  float64 `measure:"gap,mm" doc:"least gap that is not a sharp notch; the limit when nothing is narrower"`
	Area float64 `measure:"area,mm2" doc:"area of all narrow places, one side of them"`
}

func gap(r *evaluation, params GapParams) (*found[GapSite, GapModel], error) {
	t, err := thinPlaces(r, thin.Gap, params.Gap)
	if err != nil {
		return nil, err
	}
	out := &found[GapSite, GapModel]{sites: t.sites, model: GapModel{t.least, t.area}}
	shell := r.body.topology().Shell
	for i := range t.places {
		p := &t.places[i]
		out.values = append(out.values, GapSite{p.Thick, p.Area, p.Length, p.Width(), p.Class == upright, p.Sharp, t.betweenShells(p, shell)})
	}
	return out, nil
}
