package html

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// rule is what one rule found on one model: what to do is said once.
type rule struct {
	Name    string // of the rule
	Title   string // what its worst finding is about
	Level   finding.Level
	Why     bool   // the page says why, further down
	Do      string // the advice that all groups have; empty where they differ
	Cured   bool   // nothing of it is left the way up that is advised
	Held    bool   // the support that is planned cures it
	Groups  []*group
	Count   int
	On      string // as in " on mini-2", where it holds on some machines only
	Judged  string // the same of the machine on which the advice was judged
	Numbers string // of these
}

// group is one trouble: findings that are alike, told by the worst of them.
type group struct {
	*finding.Finding
	place
	Do       string // where the rule has no one advice for all
	What     string // what the worst says, and in how many places
	Compared []compared
	Raw      string // the other values and limits
	Others   []place
	More     int // places that are not listed
	Layer    template.HTML
	Layered  string // what the layer shows, in words
}

// place is where a finding is.
type place struct {
	ID     string // what links lead to
	Number int
	Sign   finding.Level
	Where  string
	group  *group
}

// compared is a value beside the limit of the same name.
type compared struct {
	Name, Doc, Value, Bound, Limit string
	Bar                            *bar
}

// maxOthers is how many places of a group are listed besides its worst: a model of 60,000
// findings must not make a page that no browser opens. Judgement.
const maxOthers = 12

// gather lists what was found, the worst first.
func (p *model) gather(o *Options, meanings map[string]*finding.Rule) {
	p.places = map[int]*place{}
	number := map[*finding.Finding]int{}
	for _, found := range words.Grouped(p.Model) {
		for i := range found {
			for _, f := range found[i].Places { // as words.Shown numbers them, for the pictures
				number[f] = len(number) + 1
				p.Levels.Add(f.Level)
			}
		}
		head := found[0].Finding
		r := &rule{Name: head.Rule, Title: words.Capital(words.Subject(head.Message)), Level: head.Level, Do: head.Advice}
		left, stays := p.left(head.Rule)
		r.Cured, r.Held = p.turned() && !stays, stays && left.Cured
		if m := meanings[head.Rule]; m != nil {
			r.Why = m.Because != ""
		}
		for i := range found {
			g := p.group(o, &found[i], number)
			r.Count += len(found[i].Places)
			if g.Advice != r.Do {
				r.Do = ""
			}
			r.Groups = append(r.Groups, g)
		}
		for _, g := range r.Groups {
			if r.Do == "" {
				g.Do = g.Advice
			}
		}
		p.Rules = append(p.Rules, r)
	}
}

// group tells of one trouble and gives its places their names.
func (p *model) group(o *Options, found *words.Group, number map[*finding.Finding]int) *group {
	g := &group{Finding: found.Finding}
	g.place = p.place(found.Finding, number, g)
	for _, f := range found.Places {
		n := number[f]
		switch {
		case f == found.Finding:
			p.places[n] = &g.place
		case len(g.Others) < maxOthers:
			g.Others = append(g.Others, p.place(f, number, g))
		default:
			g.More++
			p.places[n] = &g.place // its pin leads to the worst like it
		}
	}
	for i := range g.Others {
		p.places[g.Others[i].Number] = &g.Others[i]
	}
	g.What = sentence(found.What())
	g.values(o)
	return g
}

func (p *model) place(f *finding.Finding, number map[*finding.Finding]int, g *group) place {
	n := number[f]
	at := place{ID: fmt.Sprintf("m%d-%d", p.ID, n), Number: n, Sign: f.Level, group: g}
	var where []string
	if f.Triangle > 0 {
		where = append(where, "at "+words.Where(p.Model, f.At))
	}
	switch {
	case f.Line > 0:
		where = append(where, fmt.Sprintf("line %d", f.Line))
	case f.Triangle > 0:
		where = append(where, fmt.Sprintf("triangle %d", f.Triangle))
	}
	at.Where = strings.Join(where, ", ")
	return at
}

// values sets each value beside the limit of its name, and lists the others.
func (g *group) values(o *Options) {
	var raw []string
	for _, v := range g.Values {
		value := catalog.Format(v.Value, catalog.Unit(v.Unit))
		limit, ok := g.Limits.Get(v.Name)
		// What the message does not tell only says that the place is large enough to count.
		if !ok || len(g.Says) > 0 && !slices.Contains(g.Says, v.Name) {
			raw = append(raw, spaced(v.Name)+" "+value)
			continue
		}
		c := compared{Name: spaced(v.Name), Value: value, Bound: "limit", Limit: catalog.FormatLimit(limit, catalog.Unit(v.Unit)), Bar: newBar(v.Value, limit)}
		if o.Value != nil {
			doc, bound := o.Value(g.Rule, v.Name)
			if c.Doc = doc; bound != "" {
				c.Bound = bound
			}
		}
		g.Compared = append(g.Compared, c)
	}
	for _, l := range g.Limits {
		if !slices.ContainsFunc(g.Compared, func(c compared) bool { return c.Name == spaced(l.Name) }) {
			raw = append(raw, "limit "+spaced(l.Name)+" "+catalog.FormatLimit(l.Value, catalog.Unit(l.Unit)))
		}
	}
	g.Raw = strings.Join(raw, ", ")
}

// spaced turns a name of the catalogue into words.
func spaced(name string) string { return strings.NewReplacer("_", " ", "-", " ").Replace(name) }

// bar shows a value as a length and its limit as a mark across it.
type bar struct{ Value, Limit string }

// newBar lays a value and its limit on a bar 90 units long; nil where one of them has no
// length.
func newBar(value, limit float64) *bar {
	most := max(value, limit)
	if !(min(value, limit) >= 0) || !(most > 0) || most > 1e12 {
		return nil
	}
	return &bar{tenth(value / most * 90), tenth(limit/most*90 + 1)}
}
