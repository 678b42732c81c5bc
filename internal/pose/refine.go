package pose

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// The local search: how many candidates it begins with, how far apart these are,
// and by how many degrees it turns them, ever less. Judgement, no source.
const (
	refineStarts = 8
	refineApart  = 15.0
)

var refineSteps = []float64{32, 16, 8, 4, 2}

// refine turns the best candidates towards less air below their undersides, each to the
// next local minimum of the score, on whole degrees so that the words for it are exact.
func (s *surface) refine(list []Candidate) []Candidate {
	order := slices.Clone(list)
	sortByScore(order)
	limit := math.Cos(refineApart * math.Pi / 180)
	var starts []mesh.Vec
	for _, c := range order {
		if len(starts) < refineStarts && !slices.ContainsFunc(starts, func(d mesh.Vec) bool { return d.Dot(c.Down) > limit }) {
			starts = append(starts, c.Down)
		}
	}
	var refined []Candidate
	for _, d := range starts {
		if d = Whole(s.descend(d)); d != (mesh.Vec{}) {
			refined = append(refined, s.score(d, Refined))
		}
	}
	return refined
}

// descend follows the score downhill from d.
func (s *surface) descend(d mesh.Vec) mesh.Vec {
	best := s.score(d, Refined)
	for _, step := range refineSteps {
		sin, cos := math.Sincos(step * math.Pi / 180)
		for range 8 {
			from, better := best, false
			u, v := across(from.Down)
			for i := range 8 {
				y, x := math.Sincos(float64(i) * math.Pi / 4)
				to := from.Down.Scale(cos).Add(u.Scale(sin * x)).Add(v.Scale(sin * y)).Unit()
				if c := s.score(to, Refined); cmpScore(&c, &best) < 0 {
					best, better = c, true
				}
			}
			if !better {
				break
			}
		}
	}
	return best.Down
}

// restsFrom is the contact, in mm2, from which a body counts as lying on a face.
// Judgement, no source.
const restsFrom = 1.0

// cmpScore orders by the air below what hangs, and where there is next to none by
// contact, rest and height.
func cmpScore(a, b *Candidate) int {
	return cmp.Or(
		cmpRough(coarse(a.Air), coarse(b.Air)),
		-cmpRough(a.Contact, b.Contact),
		-cmpRough(math.Round(a.Tip), math.Round(b.Tip)),
		cmpRough(a.Height, b.Height),
	)
}

// coarse makes volumes equal that differ by less than a mm3 or a thousandth.
func coarse(volume float64) float64 {
	if volume < 1 {
		return 0
	}
	return math.Round(math.Log(volume) * 1000)
}

// sortByScore orders candidates, equals by their kind and then by direction.
func sortByScore(list []Candidate) {
	slices.SortStableFunc(list, func(a, b Candidate) int {
		return cmp.Or(cmpScore(&a, &b), cmp.Compare(a.Origin, b.Origin), CompareDown(a.Down, b.Down))
	})
}

// CompareDown is the fixed order between equals, by direction: what is already down first, then the
// quarter turns, then the half turn.
func CompareDown(a, b mesh.Vec) int {
	return cmp.Or(cmp.Compare(milli(a.Z), milli(b.Z)), cmp.Compare(milli(a.Y), milli(b.Y)), cmp.Compare(milli(a.X), milli(b.X)))
}

func milli(x float64) float64 { return math.Round(x * 1e3) }
