package lint

import (
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/ruleset"
	"printlint/internal/support"
	"printlint/internal/verdict"
)

// bridgeFrom is how far an underside may reach out, in mm, before it needs a bridge, for the
// figures of a comparison: what the measure takes where nobody says otherwise.
const bridgeFrom = 2

// figureRequests are what the figures of a comparison need measured.
func figureRequests(view *ruleset.View) []measure.Request {
	over, bridges := hanging(view)
	return []measure.Request{
		measure.Size.Request(measure.None{}), measure.Print.Request(measure.PrintParams{}), measure.Base.Request(measure.None{}),
		measure.Overhang.Request(over), measure.Bridge.Request(bridges),
	}
}

// hanging are the parameters that undersides are asked by: what the rules let hang.
func hanging(view *ruleset.View) (measure.OverhangParams, measure.BridgeParams) {
	over := measure.OverhangParams{Angle: verdict.OverhangAngle(view.Rules)}
	return over, measure.BridgeParams{OverhangParams: over, Reach: bridgeFrom}
}

// figuresOf takes the figures of a comparison from a verdict; those that could not be
// measured are left out.
func figuresOf(v *verdict.Verdict) finding.Values {
	taken := map[string]float64{"surface": v.Mesh.Area()}
	sure := func(q measure.Request) (*measure.Result, bool) {
		r := v.Result(q)
		return r, r != nil && r.Undecided == "" && len(r.Model) > 0
	}
	over, bridges := hanging(v.View)
	if r, ok := sure(measure.Size.Request(measure.None{})); ok {
		s := measure.Size.Model(r)
		taken["x"], taken["y"], taken["height"] = s.X, s.Y, s.Z
	}
	if r, ok := sure(measure.Print.Request(measure.PrintParams{})); ok {
		p := measure.Print.Model(r)
		taken["volume"], taken["grams"], taken["minutes"] = p.Volume, p.Grams, p.Minutes
	}
	if r, ok := sure(measure.Base.Request(measure.None{})); ok {
		taken["bed"] = measure.Base.Model(r).Flat
	}
	if r, ok := sure(measure.Bridge.Request(bridges)); ok {
		taken["bridge"] = measure.Bridge.Model(r).Span
	}
	if r, ok := sure(measure.Overhang.Request(over)); ok {
		worst := 0.0
		for i := range r.Sites {
			worst = max(worst, measure.Overhang.Site(&r.Sites[i]).Angle)
		}
		taken["angle"] = worst
		if places := hangingErrors(v); len(places) <= maxPlaces {
			taken["support"] = support.Sum(support.Plan(places, v.View.Process), v.View.Process).Grams
		}
	}
	var list finding.Values
	for _, k := range finding.FigureKinds {
		if x, ok := taken[k.Name]; ok {
			list = append(list, finding.Named{Name: k.Name, Unit: k.Unit, Value: finding.Round(x)})
		}
	}
	return list
}

// maxPlaces is how many places support is planned for. Judgement.
const maxPlaces = 2000

// hangingErrors are the places of errors that support would stand below, accepted ones among
// them: that somebody accepts an error changes nothing in the print.
func hangingErrors(v *verdict.Verdict) (places []support.Underside) {
	for i := range v.Hits {
		h := &v.Hits[i]
		if h.Level == finding.Error && h.Site != nil && h.Site.Below != nil && h.Site.Below.Area > 0 {
			places = append(places, support.Underside{At: h.Site.At, Below: *h.Site.Below})
		}
	}
	return places
}
