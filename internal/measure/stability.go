package measure

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/work"
)

var stabilityValues = []catalog.Value{
	{Name: "tip", Unit: catalog.Deg, Doc: "smallest angle, while it grows, between the vertical and the line from the centre of mass to the nearest edge of the footprint's convex hull; 0 or less where the centre lies outside", Signed: true},
	{Name: "height", Unit: catalog.MM, Doc: "how tall the piece is at that moment"},
	{Name: "offset", Unit: catalog.MM, Doc: "horizontal distance of the centre of mass from that edge, negative outside", Signed: true},
	{Name: "centre", Unit: catalog.MM, Doc: "height of the centre of mass above the bed"},
	{Name: "area", Unit: catalog.MM2, Doc: "footprint that holds the piece at that moment"},
}

var stabilitySpec = spec{
	def: catalog.Measure{
		Name:  "stability",
		Title: "how easily a piece tips over while it is printed",
		Doc: `A print stands free while it grows. The nozzle drags at its top, the bed holds its
foot: the taller it is on a small foot, the longer the lever that peels it off. The
angle is what it would have to be tilted by until its own weight pulled it over the
edge of its footprint: 45 degrees for a cube, 5.7 for a post ten times as tall as
wide. It is taken after every layer and the smallest counts, since a piece may stand
worse halfway up than when it is whole. What does not hang together yet is judged
apart: the legs of a table each stand on their own foot until the top joins them. A
piece that begins in the air has no foot; it is the business of the measure island.`,
		Source: "own definition; that the centre of mass must stay over the footprint during the whole print: Prevost and others 2013 (ACM Transactions on Graphics 32(4):81) and Dumas and others 2014 (the same, 33(4):98)",
		Values: stabilityValues,
		Model:  stabilityValues,
	},
	run: stability,
}

// stability tells every piece that stands on the bed. The model's values are those
// of the piece that stands worst.
func stability(r *run, _ []float64) (Result, error) {
	s, err := r.layers()
	if err != nil {
		return Result{}, err
	}
	var out Result
	if len(s.standing.bodies) > mostBodies {
		return out, fmt.Errorf("more than %d pieces in its layers that hang together only further up: %w", mostBodies, work.ErrTooMuch)
	}
	worst := make([]float64, len(stabilityValues)) // nothing stands: it falls at once
	least := math.Inf(1)
	for i := range s.standing.bodies {
		b := &s.standing.bodies[i]
		if int(s.standing.sets.Root(int32(i))) != i || b.footArea == 0 {
			continue
		}
		if len(out.Sites) == mostSites {
			return Result{}, tooMany("pieces of it stand on the bed, each on its own")
		}
		w := &b.worst
		height := s.grid.Floor(int(w.box.layer[1]))
		values := []float64{w.tip, height, w.offset, w.centre.Z, s.grid.Area(int(w.foot))}
		if w.tip < least {
			least, worst = w.tip, values
		}
		out.Sites = append(out.Sites, Site{At: s.place.Back(w.centre), Box: s.place.BackBox(boxMM(&s.grid, &w.box)), Values: values})
	}
	out.Model = worst
	return out, r.pin(out.Sites)
}
