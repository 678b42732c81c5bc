package ruleset

import (
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"

	"printlint/internal/pathname"
)

// Acceptance is what became of a finding that was compared with accepted ones.
type Acceptance struct {
	File  string // that accepts it, or empty
	Worse string // in which value it is worse than accepted, or empty
}

// Accept tells which of the findings on one part of a model were accepted. An accepted
// finding accepts one finding of its rule, the nearest, within the tolerance of places
// and no worse than it was by more than that of values. The model is known by its path,
// or by the path that it takes over from (Take). One entry accepts once in a run.
func (u *Usage) Accept(m *Accepted) []Acceptance {
	s := &settling{usage: u, model: m, found: m.Findings, held: make([]Acceptance, len(m.Findings)), view: u.For(m.Path)}
	for _, from := range u.lists(m) {
		s.from, s.list = from, from.list
		s.settle()
	}
	return s.held
}

// lists returns what was accepted on a part. Where a file holds several parts of one
// name, these are numbered by their order, which a new export may change: then the part
// of that name goes by that whose shape it has.
func (u *Usage) lists(m *Accepted) []*acceptedModel {
	listed := u.acceptedBy[u.from(m.Path)]
	own := slices.DeleteFunc(slices.Clone(listed), func(a *acceptedModel) bool { return a.Part != m.Part })
	if slices.ContainsFunc(own, func(a *acceptedModel) bool { return a.Tall == 0 || a.shaped(m, shapeExact) }) {
		return own
	}
	for _, a := range listed {
		if a.Part != m.Part && bareName(a.Part) == bareName(m.Part) && a.Tall > 0 && a.shaped(m, shapeExact) && slices.ContainsFunc(a.list, u.open) {
			return []*acceptedModel{a}
		}
	}
	return own
}

// numbered is the end of a name that only its order tells from another.
var numbered = regexp.MustCompile(`( \(\d+\)|^item \d+)$`)

func bareName(part string) string { return numbered.ReplaceAllString(part, "") }

// How far two models may differ in height and in surface, as a share, to have one shape:
// as the same file read again or turned, and as the same thing after an edit.
const (
	shapeExact = 0.001
	shapeAlike = 0.25
)

// shaped says that a model has the shape on which findings were accepted.
func (a *acceptedModel) shaped(m *Accepted, spared float64) bool {
	return within(a.Tall, m.Tall, spared) && within(a.Surface, m.Surface, spared)
}

func within(x, y, spared float64) bool { return max(x, y)-min(x, y) <= float64(spared*max(x, y)) }

// SameShape says that two heights or two surfaces are those of one model, read again, moved
// or turned about z.
func SameShape(x, y float64) bool { return within(x, y, shapeExact) }

// open says that an accepted finding has not been found yet.
func (u *Usage) open(f *acceptedFinding) bool { return !u.found[f.index].Load() }

// index files what was accepted by the path of its model.
func (c *Config) index(models []*acceptedModel) {
	c.accepted = models
	c.acceptedBy = map[string][]*acceptedModel{}
	for _, m := range models {
		c.acceptedBy[m.Path] = append(c.acceptedBy[m.Path], m)
		for _, f := range m.list {
			f.index = c.findings
			c.findings++
		}
	}
}

// Models lists the models with accepted findings: path, hash and size, in the files'
// order.
func (c *Config) Models() []Accepted {
	list := make([]Accepted, len(c.accepted))
	for i, m := range c.accepted {
		list[i] = m.Accepted
	}
	return list
}

// FileOf is the file, or the entry of a pack, that a model is or lies in.
func FileOf(model string) string {
	if at := strings.LastIndex(model, pathname.Inside); at >= 0 && !strings.EqualFold(path.Ext(model[:at]), ".zip") {
		return model[:at]
	}
	return model
}

// Unbounded says, for each file of accepted findings, how many it holds without values,
// in the order of the files.
func (c *Config) Unbounded() []Stated {
	var list []Stated
	for _, file := range c.Accepted {
		n := 0
		for _, m := range c.accepted {
			for _, f := range m.list {
				if f.from.File == file && f.Values == nil {
					n++
				}
			}
		}
		if n > 0 {
			list = append(list, Stated{file, fmt.Sprintf("%d accepted findings have no values, so that they hold however bad they get; write the file anew with check --accept", n)})
		}
	}
	return list
}

// Stated is something to say about a file.
type Stated struct{ File, Text string }

// StaleAccepted is an accepted finding that is not found any more.
type StaleAccepted struct {
	Path, Part, Rule string
	From             Position
}

// StaleAccepted returns, in the files' order, what was accepted and not found again.
// Models that were not among those checked are left in peace; in a whole run only
// those that are there and could not be judged.
func (u *Usage) StaleAccepted(checked, unjudged []string, whole bool) []StaleAccepted {
	seen, lost := u.fromAll(checked), u.fromAll(unjudged)
	var out []StaleAccepted
	for _, m := range u.accepted {
		if !seen[m.Path] && (!whole || lost[m.Path]) {
			continue
		}
		for _, f := range m.list {
			if u.open(f) {
				out = append(out, StaleAccepted{m.Path, m.Part, f.Rule, f.from})
			}
		}
	}
	return out
}
