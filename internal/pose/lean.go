package pose

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// The search by leaning: how many candidates it begins with, how far apart these are,
// and by how many degrees it leans them, ever less.
const (
	leanStarts = 8
	leanApart  = 15.0
)

var leanSteps = []float64{32, 16, 8, 4, 2}

// lean leans the best candidates towards less air below their undersides, each to the
// next hollow of the score, on whole degrees so that the words for it are exact.
func (s *surface) lean(list []Candidate) []Candidate {
	order := slices.Clone(list)
	sortByScore(order)
	limit := math.Cos(leanApart * math.Pi / 180)
	var starts []mesh.Vec
	for _, c := range order {
		if len(starts) < leanStarts && !slices.ContainsFunc(starts, func(d mesh.Vec) bool { return d.Dot(c.Down) > limit }) {
			starts = append(starts, c.Down)
		}
	}
	var leaned []Candidate
	for _, d := range starts {
		if d = whole(s.hollow(d)); d != (mesh.Vec{}) {
			leaned = append(leaned, s.score(d, Leaned))
		}
	}
	return leaned
}

// hollow follows the score downhill from d.
func (s *surface) hollow(d mesh.Vec) mesh.Vec {
	best := s.score(d, Leaned)
	for _, step := range leanSteps {
		sin, cos := math.Sincos(step * math.Pi / 180)
		for range 8 {
			from, better := best, false
			u, v := across(from.Down)
			for i := range 8 {
				y, x := math.Sincos(float64(i) * math.Pi / 4)
				to := from.Down.Scale(cos).Add(u.Scale(sin * x)).Add(v.Scale(sin * y)).Unit()
				if c := s.score(to, Leaned); cmpScore(&c, &best) < 0 {
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
		return cmp.Or(cmpScore(&a, &b), cmp.Compare(a.Kind, b.Kind), cmpDown(a.Down, b.Down))
	})
}

// cmpDown is the fixed order between equals: what is already down first, then the
// quarter turns, then the half turn.
func cmpDown(a, b mesh.Vec) int {
	return cmp.Or(cmp.Compare(milli(a.Z), milli(b.Z)), cmp.Compare(milli(a.Y), milli(b.Y)), cmp.Compare(milli(a.X), milli(b.X)))
}

func milli(x float64) float64 { return math.Round(x * 1e3) }
