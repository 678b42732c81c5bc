package measure

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/geom"
	"printlint/internal/work"
)

// Stability is the measure of how easily pieces tip over.
var Stability = overLayers(
	catalog.Measure{
		Name:  "stability",
		Title: "how easily a piece tips over while it is printed",
		Doc: `A print stands free while it grows. The nozzle drags at its top, and its foot holds it
on the bed. The taller it is on a small foot, the longer the lever that peels it off. The
angle says how far you would have to push it aside until its own weight pulls it over the
edge of its foot: 45° for a cube, 5.7° for a post ten times as tall as wide. It is
measured after every layer, and the smallest counts, since a piece may stand worse
halfway up than when it is whole. Pieces that do not touch yet are measured apart: the
legs of a table each stand on their own foot until the top joins them. A piece that
starts in mid-air has no foot; the measure island is about those.`,
		Source: "own definition; that the centre of mass must stay over the footprint during the whole print: Prevost and others 2013 (ACM Transactions on Graphics 32(4):81) and Dumas and others 2014 (the same, 33(4):98)",
	}, newStabilityTracker, stability)

// StabilityValues are of one piece, at the height at which it stands worst.
type StabilityValues struct {
	Tip    float64 `measure:"tip,deg,signed" doc:"smallest angle, while it grows, between straight up and the line from the nearest edge of the footprint, hollows filled, to the centre of mass; 0 or less where the centre lies outside" sample:"2"`
	Height float64 `measure:"height,mm" doc:"how tall the piece is at that moment" sample:"60"`
	Offset float64 `measure:"offset,mm,signed" doc:"horizontal distance of the centre of mass from that edge, negative outside"`
	Centre float64 `measure:"centre,mm" doc:"height of the centre of mass above the bed"`
	Area   float64 `measure:"area,mm2" doc:"footprint that holds the piece at that moment" sample:"40"`
	Length float64 `measure:"length,mm" doc:"largest distance between two points of it"`
	Width  float64 `measure:"width,mm" doc:"smallest width of its convex hull"`
	Beyond float64 `measure:"beyond,mm" doc:"how far the centre of mass lies outside the footprint, seen from above; 0 where it lies over it" sample:"7"`
}

// stability tells every piece that stands on the bed. The model's values are those
// of the piece that stands worst, all 0 where nothing stands: it falls at once.
func stability(s *stack, v *stabilityTracker, _ None) (*found[StabilityValues, StabilityValues], error) {
	var out found[StabilityValues, StabilityValues]
	if len(v.bodies) > mostBodies {
		return nil, fmt.Errorf("more than %d pieces in its layers that hang together only further up: %w", mostBodies, work.ErrTooMuch)
	}
	least := math.Inf(1)
	for i := range v.bodies {
		b := &v.bodies[i]
		if int(v.sets.Root(int32(i))) != i || b.footArea == 0 {
			continue
		}
		if apart, err := s.standsApart(b); err != nil {
			return nil, err
		} else if !apart {
			continue
		}
		if len(out.sites) == mostSites {
			return nil, tooMany("pieces of it stand on the bed, each on its own")
		}
		w := &b.worst
		width, length := geom.Width(w.hull)
		values := StabilityValues{Tip: w.tip, Height: s.grid.Floor(int(w.box.layer[1])), Offset: w.offset, Centre: w.centre.Z,
			Area: s.grid.Area(int(w.foot)), Length: length * s.grid.Cell, Width: width * s.grid.Cell, Beyond: max(0, -w.offset)}
		if w.tip < least {
			least, out.model = w.tip, values
		}
		out.add(Site{At: s.place.Back(w.centre), Box: s.place.BackBox(boxMM(&s.grid, &w.box))}, values)
	}
	return &out, s.pin(out.sites)
}

// standsApart reports whether a body is one of its own. A foot narrower than a line may be the sharp end of a
// wedge, which only the cells part from the rest: there the outline runs on.
func (s *stack) standsApart(b *partialBody) (bool, error) {
	if !b.sliver {
		return true, nil
	}
	rect := cellRect{[2]int32{math.MaxInt32, 0}, [2]int32{math.MaxInt32, 0}}
	for _, p := range b.worst.hull {
		rect.col = [2]int32{min(rect.col[0], int32(p.X)), max(rect.col[1], int32(p.X))}
		rect.row = [2]int32{min(rect.row[0], int32(p.Y)), max(rect.row[1], int32(p.Y))}
	}
	_, whole, err := s.outlineWidth(s.grid.Height/2, &rect)
	return whole, err
}
