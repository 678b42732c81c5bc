package advise

import (
	"cmp"
	"math"
	"slices"
)

// pair is two planes along one normal, the lower one first, with its cheap score.
type pair struct {
	planes [2]plane
	hang   float64 // mm2 of undersides that the three pieces have, each laid the better way
}

// cost is what speaks against a pair, in minutes.
func (p *pair) cost() float64 {
	low, high := p.planes[0], p.planes[1]
	low.hang, high.hang = p.hang, 0
	return low.cost() + high.cost()
}

// How much of a pair may hang in mm2, since it is judged only where one cut alone leaves
// something, of how many planes they are made, and how many are taken up of one normal.
// Judgement, no source.
const (
	pairHang   = 20.0
	pairPlanes = 100
	pairsOf    = 2
)

// pairs are the best along a normal, of planes in order that are some way apart.
func (s *slope) pairs(list []plane) (best []pair) {
	list = slices.DeleteFunc(slices.Clone(list[:min(len(list), pairPlanes)]), func(p plane) bool { return p.section < leastSection/2 })
	slices.SortStableFunc(list, func(a, b plane) int { return cmp.Compare(a.offset, b.offset) })
	apart := planesApart * (s.hi - s.lo)
	var all []pair
	for i, low := range list {
		for _, high := range list[i+1:] {
			if high.offset-low.offset < max(apart, thinSheet) {
				continue
			}
			p := pair{planes: [2]plane{low, high}, hang: s.hangsBelow(&low) + s.hangsBetween(&low, &high) + s.hangsAbove(&high)}
			if p.hang <= pairHang {
				all = append(all, p)
			}
		}
	}
	sortPairs(all)
	for _, p := range all {
		near := func(k pair) bool {
			return math.Abs(k.planes[0].offset-p.planes[0].offset) < apart && math.Abs(k.planes[1].offset-p.planes[1].offset) < apart
		}
		if len(best) < pairsOf && !slices.ContainsFunc(best, near) {
			best = append(best, p)
		}
	}
	return best
}

// hangsBetween is what hangs of what lies between two planes, laid on either.
func (s *slope) hangsBetween(low, high *plane) float64 {
	from, to := low.offset+flush, high.offset-flush
	hang := noFoot
	if low.footAbove >= leastSection {
		hang = s.downs.below(to) - s.downs.below(from)
	}
	if high.footBelow >= leastSection {
		hang = min(hang, s.ups.below(to)-s.ups.below(from))
	}
	return hang
}

// sortPairs puts the one first that costs least, then the largest joints.
func sortPairs(list []pair) {
	joints := func(p *pair) float64 { return min(p.planes[0].section, p.planes[1].section) }
	slices.SortStableFunc(list, func(a, b pair) int {
		return cmp.Or(cmp.Compare(math.Round(a.cost()), math.Round(b.cost())), -cmp.Compare(step(joints(&a)/10), step(joints(&b)/10)))
	})
}
