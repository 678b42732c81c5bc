package verdict

import (
	"cmp"
	"fmt"
	"slices"

	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

// samePlace is how far outside the box of a site, in mm, the place of another may lie that
// is still at it: a few cells and a layer, by which places come out a little off.
// Judgement.
const samePlace = 0.5

// yield leaves, of rules of which one yields to the other, one hit a place: the worst level
// that holds there, and at one level the rule that is yielded to. So it stays one hit
// whatever levels and limits a team gives the rules. What judges another measure, such as
// the size of the whole model, is no harder or milder word for the same trouble: it may
// speak for a hit at its level or below, and is never silent for it. A hit of the whole model
// is at every place.
//
// Only a hit that stays silences another, so that whatever is added to a shape, the last
// finding at a place is never lost.
func (v *Verdict) yield() {
	if !slices.ContainsFunc(v.View.Rules, func(r *ruleset.Rule) bool { return len(r.YieldsTo) > 0 }) {
		return
	}
	y := newYielding(v)
	for _, i := range y.worstFirst() {
		if y.state[i] == open {
			y.settle(i)
		}
	}
	kept := v.Hits[:0]
	for i := range v.Hits {
		if y.state[i] == stays {
			kept = append(kept, v.Hits[i])
		}
	}
	v.Hits = kept
}

// yielding is what became of each hit so far.
type yielding struct {
	hits  []Hit
	rules map[string]*yielder
	state []state // by hit
}

// yielder is a rule with its hits.
type yielder struct {
	*ruleset.Rule
	key   string           // of what is measured for it
	depth int              // how many rules stand before it; each rule that it yields to has less
	hits  []int            // along x: two rules may have thousands each
	on    map[uint32][]int // by triangle; made when it is needed

	several []int // those of its hits that are several places at once
}

// state is what became of a hit.
type state uint8

const (
	open state = iota
	stays
	gone
)

func newYielding(v *Verdict) *yielding {
	y := &yielding{hits: v.Hits, rules: make(map[string]*yielder, len(v.View.Rules)), state: make([]state, len(v.Hits))}
	for _, r := range v.View.Rules {
		y.rules[r.ID] = &yielder{Rule: r, key: fmt.Sprint(r.Judges(), r.Asks()), depth: -1}
	}
	for i := range v.Hits {
		r := y.rules[v.Hits[i].Rule]
		r.hits = append(r.hits, i)
		if len(v.Hits[i].Site.Parts) > 0 {
			r.several = append(r.several, i)
		}
	}
	for _, r := range y.rules {
		slices.SortFunc(r.hits, func(a, b int) int { return cmp.Or(cmp.Compare(y.x(a), y.x(b)), a-b) })
		y.deepen(r)
	}
	return y
}

// deepen sets the depth of a rule; there is no circle.
func (y *yielding) deepen(r *yielder) int {
	if r.depth < 0 {
		r.depth = 0
		for _, id := range r.YieldsTo {
			if o := y.rules[id]; o != nil {
				r.depth = max(r.depth, y.deepen(o)+1)
			}
		}
	}
	return r.depth
}

// worstFirst is the order in which hits are settled.
func (y *yielding) worstFirst() []int {
	order := make([]int, len(y.hits))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(y.hits[a].Level.Rank(), y.hits[b].Level.Rank()), cmp.Compare(y.rules[y.hits[a].Rule].depth, y.rules[y.hits[b].Rule].depth))
	})
	return order
}

// settle says of a hit whether it stays, and silences for it what comes later.
func (y *yielding) settle(i int) {
	r := y.rules[y.hits[i].Rule]
	for _, id := range r.YieldsTo {
		if o := y.rules[id]; o != nil && !y.beside(i, r, o, func(k int) bool { return y.state[k] != stays }) {
			y.state[i] = gone
			return
		}
	}
	y.state[i] = stays
	for _, id := range r.YieldsTo {
		if o := y.rules[id]; o != nil && o.Judges() == r.Judges() {
			y.beside(i, r, o, func(k int) bool {
				if y.state[k] == open {
					y.state[k] = gone
				}
				return true
			})
		}
	}
}

// beside hands over the hits of a rule that are at the place of a hit whose rule yields to
// it, until it is told to stop, and says whether it came to the end.
func (y *yielding) beside(i int, r, o *yielder, more func(k int) bool) bool {
	if len(o.hits) == 1 && (o.Per == ruleset.PerModel || len(y.hits[o.hits[0]].Site.Tris) == 0) { // of the whole model, which is every place
		return more(o.hits[0])
	}
	site := y.hits[i].Site
	low, high := min(site.Box.Min.X, site.At.X)-samePlace, max(site.Box.Max.X, site.At.X)+samePlace
	from, _ := slices.BinarySearchFunc(o.hits, low, func(k int, x float64) int { return cmp.Compare(y.x(k), x) })
	for _, k := range o.hits[from:] {
		if y.x(k) > high {
			break
		}
		other := y.hits[k].Site
		if (other == site || site.Box.Contains(other.At, samePlace)) && !more(k) {
			return false
		}
	}
	for _, k := range o.several {
		parts := y.hits[k].Site.Parts
		if slices.ContainsFunc(parts, func(p measure.Site) bool { return site.Box.Contains(p.At, samePlace) }) && !more(k) {
			return false
		}
	}
	if o.key == r.key || o.Judges() != r.Judges() {
		return true
	}
	// The same measure by other parameters, such as a milder angle: the place of one may
	// lie anywhere on the other.
	for _, t := range site.Tris {
		for _, k := range y.on(o)[t] {
			if y.hits[k].Site.Box.Contains(site.At, samePlace) && !more(k) {
				return false
			}
		}
	}
	return true
}

// on lists the hits of a rule on each triangle.
func (y *yielding) on(o *yielder) map[uint32][]int {
	if o.on == nil {
		o.on = map[uint32][]int{}
		for _, k := range o.hits {
			for _, t := range y.hits[k].Site.Tris {
				o.on[t] = append(o.on[t], k)
			}
		}
	}
	return o.on
}

// x is where the place of a hit lies along x.
func (y *yielding) x(k int) float64 { return y.hits[k].Site.At.X }
