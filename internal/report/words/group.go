package words

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"printlint/internal/finding"
)

// Group is one trouble of a model: the findings of one rule and level that are alike.
// Reports for people tell of it in one line, however many places it has.
type Group struct {
	*finding.Finding                    // the worst of them
	Places           []*finding.Finding // all of them, the worst first; they belong to the model
	// Rest says that these are alike in nothing but their rule and level: what is left
	// when maxAlike groups have been made.
	Rest bool
}

// maxAlike is how many groups a rule has on one model at one level, before what is left
// goes into one more: sixty thousand places, each with other values, must not make more
// lines than a reader looks at. Judgement.
const maxAlike = 5

// alikeShare is how far the values that a message tells may lie from those of the worst
// place, as a share of them, for one line to tell of both: about what a reader takes for
// the same. Judgement.
const alikeShare = 0.1

// Grouped gathers the findings of a model that count: a list for each rule, level and set of
// machines, the worst level first and then what is farthest past its limits. The groups of a
// list stand in the same order, the rest last.
func Grouped(m *finding.Model) [][]Group {
	var found []*finding.Finding
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Counts() {
			found = append(found, f)
		}
	}
	return grouped(found, func(f *finding.Finding) kind { return kind{f.Rule, f.Level, finding.Waived{}, f.Change, Listed(f.On)} })
}

// Accepted gathers the findings of a model that were accepted in writing, as Grouped does
// those that count; what was accepted for another reason is in another list.
func Accepted(m *finding.Model) [][]Group {
	var found []*finding.Finding
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Waived != nil && f.Level.Rank() < finding.None.Rank() {
			found = append(found, f)
		}
	}
	return grouped(found, func(f *finding.Finding) kind { return kind{f.Rule, f.Level, *f.Waived, "", Listed(f.On)} })
}

// kind is what all findings of a list of groups have in common.
type kind struct {
	rule   string
	level  finding.Level
	waived finding.Waived
	change finding.Change
	on     string // machines
}

func grouped(found []*finding.Finding, of func(*finding.Finding) kind) [][]Group {
	var lists [][]told
	at := map[kind]int{}
	for _, f := range found {
		k, known := at[of(f)]
		if !known {
			k = len(lists)
			at[of(f)] = k
			lists = append(lists, nil)
		}
		lists[k] = append(lists[k], tell(f))
	}
	for _, list := range lists {
		slices.SortStableFunc(list, worse)
	}
	slices.SortStableFunc(lists, func(a, b []told) int {
		return cmp.Or(cmp.Compare(a[0].Level.Rank(), b[0].Level.Rank()), before(a[0].Change)-before(b[0].Change), cmp.Compare(b[0].past, a[0].past))
	})
	groups := make([][]Group, len(lists))
	for i, list := range lists {
		groups[i] = gather(list)
	}
	return groups
}

// gather puts each finding, the worst first, to the first group whose worst it is like.
func gather(list []told) []Group {
	var groups []Group
	var heads []told
	for _, t := range list {
		k := slices.IndexFunc(heads, t.like)
		if k < 0 {
			k = min(len(heads), maxAlike)
		}
		if k == len(groups) {
			groups = append(groups, Group{Finding: t.Finding, Rest: k == maxAlike})
		}
		if k == len(heads) && k < maxAlike {
			heads = append(heads, t)
		}
		groups[k].Places = append(groups[k].Places, t.Finding)
	}
	return groups
}

// told is a finding with the values that its message tells.
type told struct {
	*finding.Finding
	values []float64
	past   float64
}

func tell(f *finding.Finding) told {
	t := told{Finding: f, past: f.Past()}
	for _, name := range f.Says {
		if value, ok := f.Values.Get(name); ok {
			t.values = append(t.values, value)
		}
	}
	return t
}

// worse puts first what is farther past its limits, and among equals what tells more.
func worse(a, b told) int {
	return cmp.Or(cmp.Compare(b.past, a.past), slices.Compare(b.values, a.values))
}

// like says that a finding may share a line with another, the worst of that line: both
// messages are the same but for their numbers, and these are within alikeShare.
func (t told) like(head told) bool {
	if t.FullMessage() == head.FullMessage() {
		return true
	}
	return len(t.values) > 0 && t.Worse == "" && head.Worse == "" && slices.Equal(t.Says, head.Says) &&
		slices.EqualFunc(t.values, head.values, func(x, of float64) bool {
			return x == of || math.Abs(x-of) <= float64(alikeShare*math.Abs(of))
		})
}

// Message is what the worst of the group says, in how many places, and where it is.
func (g *Group) Message(m *finding.Model) string {
	text := Safe(g.What())
	if where := at(m, g.Finding); where != "" {
		text += ", " + g.Which() + where
	}
	return text + OfPart(m)
}

// What is what the worst of the group says, in how many places it is, on which machines, and
// whether a change brought it.
func (g *Group) What() string {
	text := g.FullMessage()
	switch {
	case len(g.Places) == 1:
	case g.Rest:
		text += fmt.Sprintf(", the worst of %d other places", len(g.Places))
	default:
		text += fmt.Sprintf(", in %d places", len(g.Places))
	}
	return text + Only(g.Finding) + Brought(g.Finding)
}

// Which says what the place that is named is among those of its group.
func (g *Group) Which() string {
	switch {
	case len(g.Places) == 1 || g.Rest:
		return ""
	case slices.ContainsFunc(g.Places, func(f *finding.Finding) bool { return f.FullMessage() != g.FullMessage() }):
		return "the worst "
	}
	return "one "
}

// More says, behind the first of several groups, in how many places more the rest are.
func More(groups []Group) string {
	if n := Places(groups) - 1; n > 0 {
		return ", and " + Count(n, "more place")
	}
	return ""
}

// Places counts the places of groups.
func Places(groups []Group) (n int) {
	for i := range groups {
		n += len(groups[i].Places)
	}
	return n
}
