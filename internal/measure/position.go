package measure

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Position is the measure of where the model lies in its file.
var Position = define(
	catalog.Measure{
		Name:  "position",
		Title: "where the model lies in its file",
		Doc: `Before it is printed a model is dropped on the bed, so where it lies in its file changes
nothing about the print. It matters where models are put together, or where a team wants
all its files alike: on z = 0, and near the origin. The middle is that of the box around
the model. Surfaces that are not joined are parts; parts whose boxes touch or overlap
when seen from above count as one. The gap is the widest one between their boxes that you
must cross to get to all of them, from each part to the nearest.`,
		Source:   "own definition",
		PoseFree: true,
	}, nil, position)

// PositionValues are of the model in its file.
type PositionValues struct {
	Lift  float64 `measure:"lift,mm,signed" doc:"height of its lowest point in the file; 0 where it sits on z = 0" sample:"12"`
	Off   float64 `measure:"off,mm" doc:"distance of its middle from the origin, seen from above" sample:"140"`
	X     float64 `measure:"x,mm,signed" doc:"place of its middle along x" sample:"110"`
	Y     float64 `measure:"y,mm,signed" doc:"place of its middle along y" sample:"90"`
	Parts int     `measure:"parts" doc:"parts that stand apart, seen from above"`
	Apart float64 `measure:"apart,mm" doc:"widest gap between these that must be crossed to get to all; 0 where there is one part" sample:"150"`
}

func position(r *evaluation, _ None) (*found[PositionValues, PositionValues], error) {
	m := r.body.Mesh
	out := new(found[PositionValues, PositionValues])
	if len(m.Verts) == 0 {
		return out, nil
	}
	box := m.Box()
	at := box.Middle()
	v := PositionValues{Lift: box.Min.Z, Off: math.Hypot(at.X, at.Y), X: at.X, Y: at.Y}
	shells := r.body.topology().Shells
	boxes := make([]mesh.Box, len(shells))
	for i := range shells {
		boxes[i] = shells[i].Box
	}
	boxes = notWithin(boxes)
	if len(boxes) > mostSites {
		return nil, tooMany("loose parts")
	}
	tally := work.Of(r.ctx).Tally()
	v.Parts, v.Apart = spread(boxes, &tally)
	out.model = v
	out.add(Site{At: mesh.Vec{X: at.X, Y: at.Y, Z: box.Min.Z}, Box: box}, v)
	return out, tally.Close()
}

// notWithin drops boxes that lie within the widest one, seen from above: they stand apart
// from nothing that it does not stand apart from.
func notWithin(boxes []mesh.Box) []mesh.Box {
	widest, area := 0, -1.0
	for i, b := range boxes {
		if s := b.Size(); s.X*s.Y > area {
			widest, area = i, s.X*s.Y
		}
	}
	kept := boxes[:0]
	for i, b := range boxes {
		w := &boxes[widest]
		if i == widest || b.Min.X < w.Min.X || b.Min.Y < w.Min.Y || b.Max.X > w.Max.X || b.Max.Y > w.Max.Y {
			kept = append(kept, b)
			if i == widest {
				widest = len(kept) - 1
			}
		}
	}
	return kept
}

// spreadCost is what one look at a gap between two boxes costs in work.
const spreadCost = 3

// spread counts the boxes that stand apart seen from above, and finds the widest gap on the
// way from one to all others, each time to the nearest not reached yet.
func spread(boxes []mesh.Box, tally *work.Tally) (parts int, widest float64) {
	far := make([]float64, len(boxes)) // from what was reached
	for i := range far {
		far[i] = math.Inf(1)
	}
	for n := len(boxes); n > 0; n-- {
		next := 0
		for i := range n {
			if far[i] < far[next] {
				next = i
			}
		}
		if gap := far[next]; gap > 0 { // none was reached yet, or it stands apart
			parts++
			if !math.IsInf(gap, 1) {
				widest = max(widest, gap)
			}
		}
		from := boxes[next]
		boxes[next], far[next] = boxes[n-1], far[n-1]
		for i := range n - 1 {
			far[i] = min(far[i], gapAbove(&from, &boxes[i]))
		}
		if !tally.Add(int64(n) * spreadCost) {
			break
		}
	}
	return parts, widest
}

// gapAbove is the gap between two boxes seen from above, 0 where they touch or overlap.
func gapAbove(a, b *mesh.Box) float64 {
	x := max(0, a.Min.X-b.Max.X, b.Min.X-a.Max.X)
	y := max(0, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
	return math.Sqrt(float64(x*x) + float64(y*y))
}
