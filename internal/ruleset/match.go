package ruleset

import (
	"strings"
	"sync/atomic"
)

// Matched tells what a finding was before.
type Matched struct {
	Before int    // index of the finding that it was, or -1
	Worse  string // in what it is worse than that, or empty
}

// Match tells of each finding on one part of a model which one it was before, by the logic
// that accepted findings are known again by, and in what it got worse. Each earlier one is
// matched once.
func (c *Config) Match(before, now *Accepted) []Matched {
	const known = "before" // any name: a finding that is held by none is still open
	from := &acceptedModel{from: Position{File: known}}
	for i, f := range before.Findings {
		from.list = append(from.list, &acceptedFinding{FindingRecord: f, from: from.from, index: i})
	}
	s := &settling{
		usage: &Usage{Config: c, found: make([]atomic.Bool, len(from.list))}, view: c.For(now.Path),
		model: now, found: now.Findings, held: make([]Acceptance, len(now.Findings)),
		from: from, list: from.list, by: make([]int, len(now.Findings)),
	}
	s.settle()
	list := make([]Matched, len(now.Findings))
	for i := range list {
		list[i].Before = -1
		if s.held[i] != (Acceptance{}) {
			list[i] = Matched{s.by[i], strings.ReplaceAll(s.held[i].Worse, "accepted", known)}
		}
	}
	return list
}
