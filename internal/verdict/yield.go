package verdict

import (
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/ruleset"
)

// samePlace is how far outside the box of a site, in mm, the place of another may lie that
// is still at it: a few cells and a layer, by which places come out a little off.
// Judgement.
const samePlace = 0.5

// yield drops each hit at whose site a rule that its own yields to has a hit too, of its
// level or a higher one. Only a hit that stays silences another, so that whatever is
// added to a shape, the last finding at a place is never lost.
func (v *Verdict) yield() {
	if !slices.ContainsFunc(v.View.Rules, func(r *ruleset.Rule) bool { return len(r.YieldsTo) > 0 }) {
		return
	}
	y := yielding{hits: v.Hits, of: map[string][]int{}, yieldsTo: map[string][]string{}, gone: make([]bool, len(v.Hits)), done: map[string]bool{}}
	for i := range v.Hits {
		y.of[v.Hits[i].Rule] = append(y.of[v.Hits[i].Rule], i)
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
	of       map[string][]int    // hits by rule
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
			y.gone[i] = y.gone[i] || slices.ContainsFunc(y.of[other], func(k int) bool { return !y.gone[k] && y.speaksFor(k, i) })
		}
	}
}

// speaksFor tells whether a hit is at the place of another and no milder.
func (y *yielding) speaksFor(k, i int) bool {
	return y.hits[k].Level.Rank() <= y.hits[i].Level.Rank() && within(y.hits[i].Site.Box, y.hits[k].Site.At)
}

func within(b mesh.Box, p mesh.Vec) bool {
	const e = samePlace
	return p.X >= b.Min.X-e && p.X <= b.Max.X+e && p.Y >= b.Min.Y-e && p.Y <= b.Max.Y+e && p.Z >= b.Min.Z-e && p.Z <= b.Max.Z+e
}
