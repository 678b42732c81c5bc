package bore

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

const (
	// wholeWay is how many degrees of the circle a hole covers at least: "nearly all the way
	// round" lets a slit in a clamp pass, and no snap-in clip. Judgement, no source.
	wholeWay = 300
	// leastArc is the same for a piece of one: of less, neither axis nor circle is sure.
	leastArc = 40
	// Pieces of one hole have one axis, up to 2 deg, and one circle, up to a length in mm, and
	// meet, up to another. Judgement, no source: steps of less are not drawn on purpose.
	sameAxis   = 0.9993908270190958
	sameCircle = 0.03
	meet       = 0.05
	// pairCost is what a look at a pair of pieces costs in work.
	pairCost = 10
)

// join puts pieces of one hole together and keeps what goes round.
func (f *finder) join(list []arc) (holes []Hole) {
	order := make([]int32, len(list))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(list[a].Box.Min.X, list[b].Box.Min.X), cmp.Compare(a, b))
	})
	sets := make(geom.Sets[int32], 0, len(list)).Grow(len(list))
	for i, a := range order {
		for _, b := range order[i+1:] {
			if list[b].Box.Min.X > list[a].Box.Max.X+meet || !f.tally.Add(pairCost) {
				break
			}
			if list[a].goesOnIn(&list[b]) {
				sets.Join(a, b)
			}
		}
	}
	members, starts := sets.Members()
	for k := range len(starts) - 1 {
		holes = f.whole(holes, list, members[starts[k]:starts[k+1]])
	}
	slices.SortFunc(holes, func(a, b Hole) int { return cmp.Compare(a.Tris[0], b.Tris[0]) })
	return holes
}

// whole appends the hole that some pieces make together, or else those that are one alone.
func (f *finder) whole(holes []Hole, list []arc, pieces []int32) []Hole {
	if len(pieces) > 1 {
		var tris []uint32
		var axis mesh.Vec
		for _, p := range pieces {
			a := list[p].Axis
			if a.Dot(axis) < 0 {
				a = a.Scale(-1)
			}
			axis = axis.Add(a.Scale(list[p].round))
			tris = append(tris, list[p].Tris...)
		}
		slices.Sort(tris)
		if a, ok := f.fit(tris, axis.Unit(), false); ok {
			return f.round(holes, &a)
		}
	}
	for _, p := range pieces {
		holes = f.round(holes, &list[p])
	}
	return holes
}

// round appends an arc if it is a hole.
func (f *finder) round(holes []Hole, a *arc) []Hole {
	if !a.part && a.round >= wholeWay || f.closed(a) {
		a.Full = a.round >= wholeWay
		return append(holes, a.Hole)
	}
	return holes
}

// goesOnIn tells whether two pieces lie on one circle and meet.
func (a *arc) goesOnIn(b *arc) bool {
	if !a.Box.Grow(meet).Contains(b.At, max(b.Diameter, b.Depth)) || math.Abs(a.Axis.Dot(b.Axis)) < sameAxis {
		return false
	}
	between := b.At.Sub(a.At)
	along := between.Dot(a.Axis)
	aside := between.Sub(a.Axis.Scale(along)).Len()
	return aside <= sameCircle && math.Abs(a.Diameter-b.Diameter) <= 2*sameCircle &&
		math.Abs(along) <= (a.Depth+b.Depth)/2+meet
}
