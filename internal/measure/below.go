package measure

import (
	"context"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// Below is the air under a place that hangs: what a support there would stand in.
type Below struct {
	Air   float64  // mm3, down to the model or the bed
	Area  float64  // mm2 to be carried, seen from above
	OnBed float64  // mm2 of it that look down on the bed
	Loose bool     // a piece that nothing ever joins to the rest
	Tilt  float64  // steepest tilt in degrees from vertical; a flat ceiling is 90
	At    mesh.Vec // its most telling point, above the bed
	Box   mesh.Box // above the bed, not in the file's own frame
}

// belowIsland is the air under the first layer of an island: what is laid on that
// layer is carried by it.
func (s *stack) belowIsland(f *islandTrack, box mesh.Box) *Below {
	area := s.grid.Area(f.area)
	b := &Below{Air: area * float64(f.drop) * s.grid.Height, Area: area, Loose: !f.joins, Tilt: 90, At: box.Middle(), Box: box}
	b.At.Z, b.Box.Max.Z = box.Min.Z, box.Min.Z
	if f.drop == f.start {
		b.OnBed = area
	}
	return b
}

// Tree returns the search tree over the body's triangles, in the file's own frame,
// built once.
func (b *Body) Tree(ctx context.Context, jobs int) (*spatial.Tree, error) {
	r := &evaluation{laid: &laid{call: &call{ctx: ctx, body: b, opt: Options{Jobs: jobs}}}}
	return r.search()
}
