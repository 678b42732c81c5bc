package measure

import (
	"slices"

	"printlint/internal/catalog"
)

var bridgeSpec = spec{
	def: catalog.Measure{
		Name:  "bridge",
		Title: "undersides laid on air between two carriers",
		Doc: `A strand laid across a gap holds at both ends and only sags in the middle, like the
bar of an H; the wider the gap, the more it sags, until it falls. A patch of hanging
cells is crossed in many directions, those square to its carrying edges among them;
each cell is bridged by the shortest strand through it that meets a carrier at both
ends. Short strands, once laid, carry what is laid beside them.`,
		Source: "own definition on filled layers; that anchored spans differ from free ends is common practice, no source",
		Values: []catalog.Value{
			{Name: "span", Unit: catalog.MM, Doc: "longest strand needed beyond the reach of a carrier"},
			{Name: "ledge", Unit: catalog.MM, Doc: "farthest distance from what carries it, as if nothing were bridged"},
			{Name: "rest", Unit: catalog.MM, Doc: "farthest distance from a carrier that is left when all strands lie"},
			{Name: "width", Unit: catalog.MM, Doc: "mean width of what is bridged, across its longest strand"},
			{Name: "area", Unit: catalog.MM2, Doc: "area bridged, seen from above"},
			{Name: "angle", Unit: catalog.Deg, Doc: "steepest lean from vertical; a flat ceiling is 90"},
			{Name: "z", Unit: catalog.MM, Doc: "height above the bed"},
			{Name: "sequential", Unit: catalog.Bool, Doc: "some strands rest on strands laid before them"},
		},
		Model: []catalog.Value{
			{Name: "sites", Doc: "places that need a bridge"},
			{Name: "span", Unit: catalog.MM, Doc: "the longest of them"},
		},
		Params: []catalog.Param{angleParam, reachParam},
	},
	run: bridge,
}

// bridge tells the part of each patch that is laid between two carriers.
func bridge(r *run, params []float64) (Result, error) {
	s, patches, err := r.patchesOf(params[0])
	if err != nil {
		return Result{}, err
	}
	var out Result
	longest := 0.0
	n := slices.Index(r.reaches, params[1])
	for i := range patches {
		p := &patches[i]
		b := &p.Bridges[n]
		if b.Span == 0 {
			continue
		}
		longest = max(longest, b.Span)
		sequential := 0.0
		if p.Layered {
			sequential = 1
		}
		out.Sites = append(out.Sites, s.site(p, b.At,
			[]float64{b.Span, p.Ledge, p.Rest, p.SpanArea / b.Span, p.SpanArea, p.Lean, b.At.At.Z, sequential}))
	}
	out.Model = []float64{float64(len(out.Sites)), longest}
	return out, nil
}
