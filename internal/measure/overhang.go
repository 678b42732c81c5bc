package measure

import "printlint/internal/catalog"

// Overhang is the measure of undersides with one end free.
var Overhang = overLayers(
	catalog.Measure{
		Name:  "overhang",
		Title: "undersides over air, held at one end only",
		Doc: `The printer lays each layer on the one below. It may also lie on what ends one layer
lower: over so thin a gap the lines sag and stick, as on support that comes with the
model. Where an underside is so flat that a line finds little or nothing below it, the
plastic sags. How far it gets before it falls depends on how far it reaches out from
what holds it. Stairs are judged by how far they step out for how high they rise, not by
their level treads. Parts of it that touch, in one layer or from one layer to the next, are
one place. What can be printed as a bridge between two ends is taken out; the rest of
the place is the overhang. Where the model lies at most four layers below, what sags
comes to lie on it: so hinges print that turn in their place.`,
		Source: "own definition on filled layers; why a line needs half its width below it: the share of a line that hangs is h tan(angle) / w, computed",
	},
	func(s *stack, p OverhangParams) *overhangs { return hanging(s, p.Angle) }, overhang).seeing(seesBridge)

// OverhangParams say what hangs.
type OverhangParams struct {
	Angle float64 `measure:"angle,deg" default:"45" doc:"angle from vertical past which an underside counts as hanging"`
}

// OverhangSite is one underside.
type OverhangSite struct {
	Angle   float64 `measure:"angle,deg" doc:"steepest angle from vertical, the steepest twentieth of the area left out; a flat underside is 90" sample:"80"`
	Reach   float64 `measure:"reach,mm" doc:"farthest horizontal distance from what holds it; bridges hold too, and so does the model where it lies at most four layers below" sample:"12"`
	Ledge   float64 `measure:"ledge,mm" doc:"the same distance as if nothing could be bridged"`
	Area    float64 `measure:"area,mm2" doc:"area seen from above, without what is bridged or sags onto the model" sample:"120"`
	Sag     float64 `measure:"sag,mm" doc:"as reach, but what sags onto the model counts as well" sample:"12"`
	SagArea float64 `measure:"sag_area,mm2" doc:"as area, but what sags onto the model counts as well" sample:"120"`
	Z       float64 `measure:"z,mm" doc:"height above the bed" sample:"30"`
	Drop    float64 `measure:"drop,mm" doc:"free height below, down to the model or the bed" sample:"30"`
}

// OverhangModel sums the undersides up.
type OverhangModel struct {
	Sites int     `measure:"sites" doc:"places that hang with one end free"`
	Area  float64 `measure:"area,mm2" doc:"their area seen from above"`
	Air   float64 `measure:"air,mm3" doc:"volume of air below everything that hangs, down to the model or the bed"`
}

// overhang tells the part of each patch that nothing bridges.
func overhang(s *stack, l *overhangs, _ OverhangParams) (*found[OverhangSite, OverhangModel], error) {
	patches, err := l.weighed(s)
	if err != nil {
		return nil, err
	}
	var out found[OverhangSite, OverhangModel]
	for i := range patches {
		p := &patches[i]
		out.model.Air += p.Air
		if p.Rest <= l.least() {
			continue
		}
		out.model.Area += p.RestArea
		out.add(l.site(p, p.RestAt), OverhangSite{Angle: p.Tilt, Reach: p.Open, Ledge: p.Ledge, Area: p.OpenArea,
			Sag: p.Rest, SagArea: p.RestArea, Z: p.RestAt.At.Z, Drop: p.RestAt.Drop})
	}
	out.model.Sites = len(out.sites)
	return &out, nil
}
