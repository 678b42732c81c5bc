package measure

import "printlint/internal/catalog"

// Overhang is the measure of undersides with one end free.
var Overhang = overLayers(
	catalog.Measure{
		Name:  "overhang",
		Title: "undersides laid on air with one end free",
		Doc: `A layer is laid on the one below, or on what ends one layer lower: lines sag over
so thin a gap and stick, as on support that comes with the model. Where an underside leans so far that a line
finds little or nothing below it, the plastic sags; how far it gets before it falls
depends on how far it reaches past whatever carries it. Stairs lean by run over rise,
and not by their level treads. Cells that hang and touch,
in one layer or from one layer to the next, are one patch. What can be laid as a
bridge between two carriers is taken out; the rest of the patch is the overhang.`,
		Source: "own definition on filled layers; why a line needs half its width below it: the share of a line that hangs is h tan(angle) / w, computed",
	},
	func(s *stack, p OverhangParams) *overhangs { return hanging(s, p.Angle) }, overhang)

// OverhangParams say what hangs.
type OverhangParams struct {
	Angle float64 `measure:"angle,deg" default:"45" doc:"lean from vertical beyond which an underside counts as hanging"`
}

// OverhangSite is one underside.
type OverhangSite struct {
	Angle float64 `measure:"angle,deg" doc:"steepest lean from vertical, the steepest twentieth of the area left out; a flat ceiling is 90"`
	Reach float64 `measure:"reach,mm" doc:"farthest horizontal distance from what carries it, bridges included among the carriers"`
	Ledge float64 `measure:"ledge,mm" doc:"the same distance as if nothing could be bridged"`
	Area  float64 `measure:"area,mm2" doc:"area seen from above, without what is bridged"`
	Z     float64 `measure:"z,mm" doc:"height above the bed"`
	Drop  float64 `measure:"drop,mm" doc:"free height below, down to the model or the bed"`
}

// OverhangModel sums the undersides up.
type OverhangModel struct {
	Sites int     `measure:"sites" doc:"places that hang with one end free"`
	Area  float64 `measure:"area,mm2" doc:"their area seen from above"`
	Air   float64 `measure:"air,mm3" doc:"volume of air below everything that hangs, down to the model or the bed"`
}

// overhang tells the part of each patch that nothing bridges.
func overhang(_ *stack, l *overhangs, _ OverhangParams) (*found[OverhangSite, OverhangModel], error) {
	patches, err := l.weighed()
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
		out.add(l.site(p, p.RestAt), OverhangSite{Angle: p.Tilt, Reach: p.Rest, Ledge: p.Ledge, Area: p.RestArea, Z: p.RestAt.At.Z, Drop: p.RestAt.Drop})
	}
	out.model.Sites = len(out.sites)
	return &out, nil
}
