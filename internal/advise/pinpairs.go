package advise

import (
	"cmp"
	"math"

	"printlint/internal/finding"
	"printlint/internal/mesh"
)

// Two pins of one thickness also fit when one of the pieces is turned by half a turn about the
// middle between them, and a single one however it is turned. Where the outline of the joint is
// the same after that turn, as that of a round or square bar is, only an outline that does not
// lie on the other one shows the mistake: it is moved by twice the way from the middle of the pins
// to the middle of the joint. shiftSeen is from how much, in mm, everybody sees it. Of several
// joints that are glued at once the pins of the first are closer together by firstCloser, so that
// no turn brings those of one joint to another. Judgement, no source.
const (
	shiftSeen   = 3.0
	firstCloser = 0.8
)

// pair chooses two places, at least so far apart, from what has room: far apart, and such that
// turned pieces do not lie on each other, as far as there is room for that.
func (j *joint) pair(room []mesh.Vec, apart float64) (a, b mesh.Vec, ok bool) {
	a = room[farthest(room, j.middle)]
	most := room[farthest(room, a)].Sub(a).Len()
	if j.first {
		most = max(float64(firstCloser*most), apart)
	}
	score := func(v mesh.Vec) float64 {
		return math.Round(10 * min(j.shift(a, v), shiftSeen))
	}
	for _, v := range room {
		away := v.Sub(a).Len()
		if away < apart || away > most+1e-6 {
			continue
		}
		if !ok || cmp.Or(cmp.Compare(score(v), score(b)), cmp.Compare(away, b.Sub(a).Len()+1e-6)) > 0 {
			b, ok = v, true
		}
	}
	return a, b, ok
}

// single chooses one place: near the middle, where the solid is thickest, but beside it.
func (j *joint) single(room []mesh.Vec) mesh.Vec {
	score := func(v mesh.Vec) float64 {
		off := v.Sub(j.middle).Len()
		return math.Abs(off - shiftSeen/2)
	}
	best := room[0]
	for _, v := range room {
		if score(v) < score(best)-1e-6 {
			best = v
		}
	}
	return best
}

// shift is how far the outline of a joint with two pins is moved after half a turn about the
// middle between them, where that leaves it as it is.
func (j *joint) shift(a, b mesh.Vec) float64 {
	return a.Add(b).Sub(j.middle.Scale(2)).Len()
}

// evenly is the shift with holes.
func (j *joint) evenly(holes []finding.PinHole) float64 {
	return j.shift(mesh.VecOf(holes[0].At), mesh.VecOf(holes[1].At))
}

// centre is the middle of places.
func centre(list []mesh.Vec) (sum mesh.Vec) {
	for _, v := range list {
		sum = sum.Add(v)
	}
	return sum.Scale(1 / float64(len(list)))
}

// farthest is the place that lies farthest from another one, of several the first.
func farthest(list []mesh.Vec, from mesh.Vec) (best int) {
	most := -1.0
	for i, v := range list {
		if away := v.Sub(from).Len(); away > most+1e-6 {
			best, most = i, away
		}
	}
	return best
}
