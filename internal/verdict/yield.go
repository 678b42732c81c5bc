package verdict

import (
	"cmp"
	"slices"

	"printlint/internal/ruleset"
)

// samePlace is how far outside the box of a site, in mm, the place of another may lie that
// is still at it: a few cells and a layer, by which places come out a little off.
// Judgement.
const samePlace = 0.5

// yield drops each hit at whose site a rule that its own yields to has a hit too, of its
// level or a higher one; a hit of the whole model is at every site. Only a hit that stays
// silences another, so that whatever is added to a shape, the last finding at a place is
// never lost.
func (v *Verdict) yield() {
	if !slices.ContainsFunc(v.View.Rules, func(r *ruleset.Rule) bool { return len(r.YieldsTo) > 0 }) {
		return
	}
	y := yielding{hits: v.Hits, of: map[string][]int{}, yieldsTo: map[string][]string{}, gone: make([]bool, len(v.Hits)), done: map[string]bool{}}
	for i := range v.Hits {
		y.of[v.Hits[i].Rule] = append(y.of[v.Hits[i].Rule], i)
	}
	for _, list := range y.of {
		slices.SortFunc(list, func(a, b int) int { return cmp.Compare(y.x(a), y.x(b)) })
	}
	for _, r := range v.View.Rules {
		y.yieldsTo[r.ID] = r.YieldsTo
	}
	for _, r := range v.View.Rules {
		y.settle(r.ID)
	}
	kept := v.Hits[:0]
	for i := range v.Hits {
		if !y.gone[i] {
			kept = append(kept, v.Hits[i])
		}
	}
	v.Hits = kept
}

// yielding is which hits are gone so far.
type yielding struct {
	hits     []Hit
	of       map[string][]int    // hits by rule, along x: two rules may have thousands each
	yieldsTo map[string][]string // by rule; there is no circle in it
	gone     []bool              // by hit
	done     map[string]bool     // rules that are settled
}

// settle says which hits of a rule are gone, after those of the rules it yields to.
func (y *yielding) settle(rule string) {
	if y.done[rule] {
		return
	}
	y.done[rule] = true
	for _, other := range y.yieldsTo[rule] {
		y.settle(other)
		for _, i := range y.of[rule] {
			y.gone[i] = y.gone[i] || y.spokenFor(i, y.of[other])
		}
	}
}

// spokenFor tells whether one of the hits of a rule that stay speaks for another.
func (y *yielding) spokenFor(i int, list []int) bool {
	if len(list) == 1 && len(y.hits[list[0]].Site.Tris) == 0 { // of the whole model, which is every place
		return !y.gone[list[0]] && y.noMilder(list[0], i)
	}
	box := &y.hits[i].Site.Box
	from, _ := slices.BinarySearchFunc(list, box.Min.X-samePlace, func(k int, x float64) int { return cmp.Compare(y.x(k), x) })
	for _, k := range list[from:] {
		if y.x(k) > box.Max.X+samePlace {
			return false
		}
		if !y.gone[k] && y.speaksFor(k, i) {
			return true
		}
	}
	return false
}

// x is where the place of a hit lies along x.
func (y *yielding) x(k int) float64 { return y.hits[k].Site.At.X }

// speaksFor tells whether a hit is at the place of another and no milder.
func (y *yielding) speaksFor(k, i int) bool {
	return y.noMilder(k, i) && y.hits[i].Site.Box.Contains(y.hits[k].Site.At, samePlace)
}

func (y *yielding) noMilder(k, i int) bool { return y.hits[k].Level.Rank() <= y.hits[i].Level.Rank() }
