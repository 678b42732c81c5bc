package measure

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/measure/bore"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// Hole is the measure of round holes.
var Hole = define(
	catalog.Measure{
		Name:  "hole",
		Title: "round holes, and the thickest pin that goes into each",
		Doc: `A printed hole comes out a little smaller than it was drawn, and a small one closes up.
A hole is a wall that bends around an axis at one distance from it and goes at least
300° of the way round; so a clamp with a slit has one, and a groove, a slot or a rounded
corner has none. A wall that is round for only 240° makes a hole too where other walls
close the rest half way down, up to 20°, no farther from the axis than the diameter: a
pointed or flat top, as holes have that print without support, or the flat in a hole for
a shaft with one. Such a hole is not full. Its round part has at least 8 sides to the
whole way round; so a hexagon with a point is none. A hole may go through or end inside.
A wall that leans more than 2° from its axis is a cone, and no hole; so a thread is
none, and its width is not measured. What stands out more than a fiftieth of the radius,
and more than 0.02 mm, makes a hole not round. In a mesh a round hole has flat sides,
from 6 up. Its diameter is that of the circle around its axis within all these walls,
since the pin that goes in is as thick as that and no thicker; a circle through the
corners is larger. Holes that other bodies fill are left out.`,
		Source: `own definition; that polygons drawn inside a circle make holes too small is computed.
That printed holes come out small, 5 mm as 4.6 to 4.8: a course text on printing, and common practice.
300°, 240°, 20°, 8 sides, 2°, the fiftieth and 0.02 mm are judgement, no source; at 240° the
sides of a point rise at 60°, and its tip is one diameter from the axis: computed`,
	}, nil, hole)

// HoleSite is one round hole.
type HoleSite struct {
	Diameter float64 `measure:"diameter,mm" doc:"thickest pin around its axis that goes in: the circle within its sides" sample:"1.5"`
	Depth    float64 `measure:"depth,mm" doc:"how far its wall goes along its axis" sample:"12"`
	Lean     float64 `measure:"lean,deg" doc:"angle of its axis from vertical: upright 0°, lying 90°" sample:"90"`
	Sides    int     `measure:"sides" doc:"flat sides that its round part has in the mesh: 6 is a hexagon" sample:"6"`
	Full     bool    `measure:"full" doc:"round for at least 300° of the way round; else a point, a flat or another wall closes it"`
}

// HoleModel sums the holes up.
type HoleModel struct {
	Sites    int     `measure:"sites" doc:"round holes"`
	Diameter float64 `measure:"diameter,mm" doc:"least of their diameters; as much as the longest way through the model where it has none, so that no limit finds it" sample:"1.5"`
}

// boresKey is the key of the round holes of a body among what is shared.
type boresKey struct{}

func hole(r *evaluation, _ None) (*found[HoleSite, HoleModel], error) {
	list, err := once(&r.body.parts, boresKey{}, r.bores)
	if err != nil {
		return nil, err
	}
	if len(list) > mostSites {
		return nil, tooMany("round holes")
	}
	out := &found[HoleSite, HoleModel]{model: HoleModel{Sites: len(list), Diameter: r.diagonal()}}
	up := mesh.Vec{X: r.pose.M[6], Y: r.pose.M[7], Z: r.pose.M[8]}
	for i := range list {
		h := &list[i]
		lean := math.Atan2(h.Axis.Cross(up).Len(), math.Abs(h.Axis.Dot(up))) * 180 / math.Pi
		out.model.Diameter = min(out.model.Diameter, h.Diameter)
		out.add(Site{At: h.At, Box: h.Box, Tris: h.Tris}, HoleSite{h.Diameter, h.Depth, lean, h.Sides, h.Full})
	}
	return out, nil
}

// diagonal is the way from one corner of the box around the model to the farthest.
func (r *evaluation) diagonal() float64 {
	if len(r.body.Mesh.Verts) == 0 {
		return 0
	}
	return r.body.Mesh.Box().Size().Len()
}

// bores finds the round holes and leaves out those that lie inside another body.
func (r *evaluation) bores() ([]bore.Hole, error) {
	faces, err := r.faces()
	if err != nil {
		return nil, err
	}
	tally := work.Of(r.ctx).Tally()
	list := bore.Find(faces, &tally)
	if len(list) > 0 && len(faces.Topo.Shells) > 1 && len(r.body.inverted) == 0 {
		tree, err := r.search()
		if err != nil {
			return nil, err
		}
		q := spatial.Query{Tree: tree}
		kept := list[:0]
		for i := range list {
			if h := &list[i]; !r.filled(&q, h.Tris) {
				kept = append(kept, *h)
			}
			if !tally.Add(q.Cost) {
				break
			}
			q.Cost = 0
		}
		list = kept
	}
	return list, tally.Close()
}

// filled tells whether all of a surface lies inside another body: of a few of its triangles
// spread over it, none has air before it.
func (r *evaluation) filled(q *spatial.Query, tris []uint32) bool {
	const looks, before = 5, 0.02 // mm
	step := max(1, len(tris)/looks)
	for i := 0; i < len(tris); i += step {
		a, b, c := r.body.Mesh.Corners(int(tris[i]))
		n := b.Sub(a).Cross(c.Sub(a)).Unit()
		if q.Winding(a.Add(b).Add(c).Scale(1./3).Add(n.Scale(before)), n) == 0 {
			return false
		}
	}
	return len(tris) > 0
}
