package verdict

import (
	"slices"

	"printlint/internal/finding"
)

// Union is several verdicts on one body put together, as that of one machine after the other:
// what the same rule finds at the same place is one finding.
type Union struct {
	// Hits are those of all verdicts, sorted; of one that several have, the first one's.
	Hits []Hit
	// At says for each verdict, and each of its hits, which of Hits it is.
	At   [][]int
	list []*Verdict
}

// Unite puts verdicts together.
func Unite(list []*Verdict) *Union {
	u := &Union{At: make([][]int, len(list)), list: list}
	known := newKnown()
	for k, v := range list {
		stamp(v.part, v.Hits)
		sortHits(v.Hits)
		u.At[k] = slices.Repeat([]int{-1}, len(v.Hits))
		for _, find := range []func(*Hit, int) int{known.byPlace, known.byPrint} {
			for i := range v.Hits {
				if u.At[k][i] < 0 {
					u.At[k][i] = find(&v.Hits[i], k)
				}
			}
		}
		for i := range v.Hits {
			if u.At[k][i] < 0 {
				u.At[k][i] = len(u.Hits)
				u.Hits = append(u.Hits, v.Hits[i])
				known.add(&v.Hits[i], k)
			}
		}
	}
	u.sort(list[0].part)
	return u
}

// sort gives the hits their fingerprints and their order.
func (u *Union) sort(part string) {
	for i := range u.Hits {
		u.Hits[i].was = i
	}
	stamp(part, u.Hits)
	sortHits(u.Hits)
	now := make([]int, len(u.Hits))
	for i := range u.Hits {
		now[u.Hits[i].was] = i
	}
	for _, list := range u.At {
		for i := range list {
			list[i] = now[list[i]]
		}
	}
}

// Findings are the findings of the hits. Each says on which of the named machines it holds,
// one for each verdict, unless that is on all of them, and where machines differ in what they
// say of it, the words and figures are those of the machine where it is worst.
func (u *Union) Findings(machines []string) []finding.Finding {
	list := findingsOf(u.Hits)
	worst := make([]*Hit, len(list))
	for k, name := range machines {
		for i, at := range u.At[k] {
			f, h := &list[at], &u.list[k].Hits[i]
			if len(f.On) > 0 && f.On[len(f.On)-1] == name {
				continue
			}
			f.On = append(f.On, name)
			switch w := worst[at]; {
			case w == nil:
				worst[at] = h
			case w.Message == h.Message:
			case h.Past() > w.Past():
				worst[at], f.WorstOn = h, name
			case f.WorstOn == "":
				f.WorstOn = f.On[0]
			}
		}
	}
	for i := range list {
		f := &list[i]
		if f.WorstOn != "" {
			say(f, worst[i])
		}
		if len(f.On) == len(machines) {
			f.On = nil
		}
	}
	return list
}

// say gives a finding the words and figures of another hit at its place.
func say(f *finding.Finding, h *Hit) {
	f.Message, f.Advice, f.Says = h.Message, h.Advice, h.Says
	f.Values, f.Limits = slices.Clone(h.Values), slices.Clone(h.Limits)
	round(f.Values)
	round(f.Limits)
}

// known are the hits of a union, to know one again: by its place, or else by the fingerprint
// that it has in its own verdict, since a limit may move a place a little.
type known struct {
	places map[place]int
	prints map[string]int
	last   []int // by hit: the last verdict that has it
}

// place is where a rule finds something.
type place struct {
	rule string
	at   [3]float64
	box  [2][3]float64
}

func newKnown() *known { return &known{places: map[place]int{}, prints: map[string]int{}} }

func placeOf(h *Hit) place { return place{h.Rule, h.At, h.Box} }

// byPlace returns the hit that one of the k-th verdict is by its place, or -1. No two of one
// verdict are the same.
func (n *known) byPlace(h *Hit, k int) int {
	at, ok := n.places[placeOf(h)]
	return n.take(at, ok, k)
}

// byPrint is byPlace by the fingerprint.
func (n *known) byPrint(h *Hit, k int) int {
	at, ok := n.prints[h.Fingerprint]
	return n.take(at, ok, k)
}

func (n *known) take(at int, ok bool, k int) int {
	if !ok || n.last[at] == k {
		return -1
	}
	n.last[at] = k
	return at
}

// add makes a hit known that is none of the others.
func (n *known) add(h *Hit, k int) {
	at := len(n.last)
	n.last = append(n.last, k)
	if _, ok := n.places[placeOf(h)]; !ok {
		n.places[placeOf(h)] = at
	}
	if _, ok := n.prints[h.Fingerprint]; !ok {
		n.prints[h.Fingerprint] = at
	}
}
