package pose

import (
	"math"
	"slices"
)

// pickApart is how far directions must differ, in degrees, to be looked at both, but
// for those that rest on a face. Judgement, no source.
const pickApart = 8.0

// Pick chooses n candidates, by turns the next best of those that rest on a face and
// the next best of all.
func Pick(list []Candidate, n int) []Candidate {
	limit := math.Cos(pickApart * math.Pi / 180)
	var chosen []Candidate
	rests := func(c *Candidate) bool { return c.Contact >= restsFrom && c.Tip > 0 }
	next := func(from int, rest bool) int {
		for i := from; i < len(list); i++ {
			c := &list[i]
			if rest && !rests(c) {
				continue
			}
			near := func(k Candidate) bool {
				return k.Down == c.Down || !(rest && rests(&k)) && k.Down.Dot(c.Down) > limit
			}
			if !slices.ContainsFunc(chosen, near) {
				chosen = append(chosen, *c)
				return i + 1
			}
		}
		return len(list)
	}
	resting, all := 0, 0
	for len(chosen) < n && (resting < len(list) || all < len(list)) {
		resting = next(resting, true)
		if len(chosen) < n {
			all = next(all, false)
		}
	}
	return chosen
}
