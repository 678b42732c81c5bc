// Package pose searches the ways a model can lie on the bed.
//
// A body at rest lies on a face of its convex hull, so those faces, merged by
// direction, come first; the directions of its large flat faces, the six axes and a
// spread over the sphere follow, and the best of them all are turned a little this
// way and that. Every direction gets a cheap score from the surface's normals, which
// are gathered once on the sphere. Whoever asks takes the real measures of a few of the
// best and applies the real rules.
//
// A way up is the direction that points at the bed: turning a model about the
// vertical changes nothing, so ways that differ by such a turn are one.
package pose

import (
	"context"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Candidate is one way up with its cheap score.
type Candidate struct {
	// Down is the unit vector of the file's frame that points at the bed.
	Down mesh.Vec
	// Origin says where the direction came from.
	Origin Origin
	// Hang is the area in mm2, seen from above, of undersides past the limit that do
	// not lie on the bed.
	Hang float64
	// Air is the volume in mm3 between those undersides and the bed, as if nothing
	// else of the model were in between.
	Air float64
	// Contact is the area in mm2 that lies flat on the bed.
	Contact float64
	// Tip is the angle in degrees by which the body can be tipped before it falls over:
	// from the vertical to the line from its centre of mass to the nearest edge of the
	// hull of its contact. 0 where it does not rest on a face.
	Tip float64
	// Height is the extent above the bed in mm.
	Height float64
}

// Origin is where a direction came from.
type Origin uint8

// The origins of candidates, in the order in which equals are preferred.
const (
	AsItLies Origin = iota
	Rest            // on a face of the convex hull
	Axis
	Face // on a large flat face, or with it on top
	Spread
	Refined // found from another candidate by small turns
)

// Down is the direction that points at the bed while a model lies as in its file.
var Down = mesh.Vec{Z: -1}

// spreadCount is the number of directions spread over the sphere: they are 14 degrees apart.
const spreadCount = 200

// Candidates returns every way up worth a look, each once, with its cheap score: as
// it lies first, then by score, equals in a fixed order. An underside hangs past the
// angle, in degrees from vertical. The error says why work had to stop.
func Candidates(ctx context.Context, m *mesh.Mesh, angle float64) ([]Candidate, error) {
	tally := work.Of(ctx).Tally()
	s := newSurface(m, angle, &tally)
	list := []Candidate{s.score(Down, AsItLies)}
	for _, d := range s.rests() {
		list = append(list, s.score(snapped(d), Rest))
	}
	for _, d := range axes {
		list = append(list, s.score(d, Axis))
	}
	for _, d := range s.flats() {
		list = append(list, s.score(snapped(d), Face), s.score(snapped(d.Scale(-1)), Face))
	}
	for _, d := range spread(spreadCount) {
		list = append(list, s.score(Whole(d), Spread))
	}
	list = distinct(list)
	list = distinct(append(list, s.refine(list)...))
	sortByScore(list[1:])
	if err := tally.Close(); err != nil {
		return nil, err
	}
	return list, nil
}

// Given returns the way up that points down at the bed, and the model as it lies where that
// is another one, each with its cheap score. Angle and error are as of Candidates.
func Given(ctx context.Context, m *mesh.Mesh, down mesh.Vec, angle float64) ([]Candidate, error) {
	list, err := Of(ctx, m, angle, down)
	slices.Reverse(list)
	return list, err
}

// Of returns the model as it lies and the ways up that point down at the bed, each once, in
// this order, with their cheap scores. Angle and error are as of Candidates.
func Of(ctx context.Context, m *mesh.Mesh, angle float64, downs ...mesh.Vec) ([]Candidate, error) {
	tally := work.Of(ctx).Tally()
	s := newSurface(m, angle, &tally)
	list := []Candidate{s.score(Down, AsItLies)}
	for _, d := range downs {
		list = append(list, s.score(d, Axis))
	}
	if err := tally.Close(); err != nil {
		return nil, err
	}
	return distinct(list), nil
}

// apart is how far two directions must differ to count as two, in degrees: less than
// a hand laying a part on a bed would notice. Judgement, no source.
const apart = 1.0

// askew is the turn in degrees from which a body that touches the bed with an edge is told
// of the face beside it: 0.05 deg lifts the far end of 60 mm by 0.05 mm, which still lies.
const askew = 0.05

// lays says that the face at rest lies on the bed where the model as it lies stands on an
// edge of it, be the turn from one to the other ever so small.
func lays(rest, lying *Candidate) bool {
	return rest.Origin == Rest && lying.Origin == AsItLies && rest.Contact > 2*lying.Contact+leastFlat &&
		rest.Down.Cross(lying.Down).Len() > math.Sin(askew*math.Pi/180)
}

// distinct keeps the first of directions that are nearly the same, and the exact direction
// of a face that the model as it lies misses by less than that.
func distinct(list []Candidate) []Candidate {
	limit := math.Cos(apart * math.Pi / 180)
	var unique []Candidate
	for _, c := range list {
		if !slices.ContainsFunc(unique, func(k Candidate) bool { return k.Down.Dot(c.Down) > limit && !lays(&c, &k) }) {
			unique = append(unique, c)
		}
	}
	return unique
}

var axes = []mesh.Vec{{Z: -1}, {Z: 1}, {Y: -1}, {Y: 1}, {X: -1}, {X: 1}}

// spread returns n directions spread nearly evenly over the sphere, on a spiral whose turns
// follow the golden angle.
func spread(n int) []mesh.Vec {
	golden := math.Pi * (3 - math.Sqrt(5))
	list := make([]mesh.Vec, n)
	for i := range list {
		z := 1 - (2*float64(i)+1)/float64(n)
		r := math.Sqrt(1 - float64(z*z))
		sin, cos := math.Sincos(float64(golden * float64(i)))
		list[i] = mesh.Vec{X: r * cos, Y: r * sin, Z: z}
	}
	return list
}
