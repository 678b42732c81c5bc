package measure

import (
	"slices"

	"printlint/internal/catalog"
)

// Bridge is the measure of undersides with an anchor at both ends.
var Bridge = overLayers(
	catalog.Measure{
		Name:  "bridge",
		Title: "flat undersides over air, held at both ends",
		Doc: `A line across a gap holds at both ends and only sags in the middle, like the bar of
an H. The wider the gap, the more it sags, until it falls. A flat underside is crossed
in many directions, among them those square to the edges that hold it. Each spot is
bridged by the shortest line through it that something holds at both ends. Short lines
hold, once they are printed, what is laid beside them.`,
		Source: "own definition on filled layers; that anchored spans differ from free ends is common practice, no source",
	},
	func(s *stack, p BridgeParams) *overhangs {
		l := hanging(s, p.Angle)
		l.bridged(p.Reach)
		return l
	}, bridge).seeing(seesBridge)

// BridgeParams say what hangs, and what of it needs a bridge.
type BridgeParams struct {
	OverhangParams
	Reach float64 `measure:"reach,mm" default:"2" doc:"distance from what carries it up to which an underside needs no bridge"`
}

// BridgeSite is one underside.
type BridgeSite struct {
	Span       float64 `measure:"span,mm" doc:"longest line over air that is needed" sample:"24"`
	Ledge      float64 `measure:"ledge,mm" doc:"farthest distance from what carries it, as if nothing were bridged" sample:"12"`
	Rest       float64 `measure:"rest,mm" doc:"farthest distance from what holds it that is left when all bridges are printed" sample:"3"`
	Width      float64 `measure:"width,mm" doc:"mean width of what is bridged, across its longest line" sample:"12"`
	Area       float64 `measure:"area,mm2" doc:"area bridged, seen from above" sample:"280"`
	Angle      float64 `measure:"angle,deg" doc:"steepest angle from vertical; a flat underside is 90" sample:"90"`
	Z          float64 `measure:"z,mm" doc:"height above the bed" sample:"20"`
	Drop       float64 `measure:"drop,mm" doc:"free height below its middle, down to the model or the bed" sample:"20"`
	Sequential bool    `measure:"sequential" doc:"some lines rest on lines laid before them"`
}

// BridgeModel sums the bridges up.
type BridgeModel struct {
	Sites int     `measure:"sites" doc:"places that need a bridge"`
	Span  float64 `measure:"span,mm" doc:"the longest of them"`
}

// bridge returns the part of each patch that bridge lines cross between two anchors.
func bridge(s *stack, l *overhangs, params BridgeParams) (*found[BridgeSite, BridgeModel], error) {
	patches, err := l.weighed(s)
	if err != nil {
		return nil, err
	}
	var out found[BridgeSite, BridgeModel]
	n := slices.Index(l.reaches, params.Reach)
	for i := range patches {
		p := &patches[i]
		b := &p.Bridges[n]
		if b.Span == 0 {
			continue
		}
		out.model.Span = max(out.model.Span, b.Span)
		out.add(l.site(p, b.At), BridgeSite{Span: b.Span, Ledge: p.Ledge, Rest: p.Rest, Width: p.SpanArea / b.Span,
			Area: p.SpanArea, Angle: p.Tilt, Z: b.At.At.Z, Drop: b.At.Drop, Sequential: p.Sequential})
	}
	out.model.Sites = len(out.sites)
	return &out, nil
}
