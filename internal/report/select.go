package report

import (
	"cmp"
	"fmt"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// Selection is which findings a reader asks to see. The zero one is all of them.
type Selection struct {
	Level finding.Level // the lowest that is shown; empty is every level
	Rules []string      // empty is every rule
}

func (s Selection) shows(f *finding.Finding) bool {
	return (s.Level == "" || f.Level.Rank() <= s.Level.Rank()) && (len(s.Rules) == 0 || slices.Contains(s.Rules, f.Rule))
}

// chosen are the lists of groups that are shown.
func (o Options) chosen(lists [][]words.Group) [][]words.Group {
	return slices.DeleteFunc(lists, func(groups []words.Group) bool { return !o.Show.shows(groups[0].Finding) })
}

// hidden says what a selection left out, so that nobody takes what is shown for all there
// is; it is empty where nothing was.
func (o Options) hidden(r *finding.Report) string {
	var c finding.LevelCount
	models := 0
	for i := range r.Models {
		before := c
		for k := range r.Models[i].Findings {
			if f := &r.Models[i].Findings[k]; f.Counts() && !o.Show.shows(f) {
				c.Add(f.Level)
			}
		}
		if c != before {
			models++
		}
	}
	if models == 0 {
		return ""
	}
	return fmt.Sprintf("not shown, as asked: %s in %s; they count all the same", c, words.Count(models, "file"))
}

// order is in which order models are told of.
func (o Options) order(r *finding.Report) []int {
	order := make([]int, len(r.Models))
	for i := range order {
		order[i] = i
	}
	if o.WorstFirst {
		worst := make([]badness, len(order))
		for i := range order {
			worst[i] = badnessOf(&r.Models[i])
		}
		slices.SortStableFunc(order, func(a, b int) int { return worst[a].compare(&worst[b]) })
	}
	return order
}

// badness is what puts one model before another: that it could not be judged, then how
// many different troubles of each level it has, and not in how many places.
type badness struct {
	judged bool
	groups finding.LevelCount
}

func badnessOf(m *finding.Model) badness {
	b := badness{judged: !m.Unjudged()}
	for _, groups := range words.Grouped(m) {
		for range groups {
			b.groups.Add(groups[0].Level)
		}
	}
	return b
}

func (b *badness) compare(o *badness) int {
	switch {
	case b.judged != o.judged && o.judged:
		return -1
	case b.judged != o.judged:
		return 1
	}
	return cmp.Or(cmp.Compare(o.groups.Error, b.groups.Error), cmp.Compare(o.groups.Warning, b.groups.Warning), cmp.Compare(o.groups.Note, b.groups.Note))
}
