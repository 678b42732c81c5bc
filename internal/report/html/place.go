package html

import (
	"fmt"
	"html/template"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// group is the findings of one rule on one model: why and what to do are said once.
type group struct {
	*finding.Finding               // the first
	Meaning          *finding.Rule // nil where the report does not say
	Places           []*place
}

// place is one finding.
type place struct {
	*finding.Finding
	ID         string
	Number     int
	Where      string
	Compared   []compared
	Also       string
	Layer      template.HTML
	LayerWords string
}

// compared is a value beside the limit of the same name.
type compared struct {
	Name, Value, Limit string
	Bar                *bar
}

// groups gathers the findings by rule, the worst first, and numbers and counts them.
func (p *model) groups(rules map[string]*finding.Rule) {
	p.places = map[int]*place{}
	number := map[*finding.Finding]int{}
	for n, i := range words.Shown(p.Model) {
		number[&p.Findings[i]] = n + 1
	}
	for _, found := range words.ByRule(p.Model) {
		g := &group{Finding: found[0], Meaning: rules[found[0].Rule]}
		for _, f := range found {
			at := newPlace(p, f, number[f])
			g.Places = append(g.Places, at)
			p.places[at.Number] = at
		}
		switch g.Level {
		case finding.Error:
			p.Levels.Error += len(found)
		case finding.Warning:
			p.Levels.Warning += len(found)
		case finding.Note:
			p.Levels.Note += len(found)
		}
		p.Groups = append(p.Groups, g)
	}
}

func newPlace(m *model, f *finding.Finding, number int) *place {
	p := &place{Finding: f, ID: fmt.Sprintf("m%d-%d", m.ID, number), Number: number}
	var at []string
	if f.Triangle > 0 {
		at = append(at, "at "+words.Where(m.Model, f.At))
	}
	switch {
	case f.Line > 0:
		at = append(at, fmt.Sprintf("line %d", f.Line))
	case f.Triangle > 0:
		at = append(at, fmt.Sprintf("triangle %d", f.Triangle))
	}
	p.Where = strings.Join(at, ", ")
	p.values()
	return p
}

// values sets each value beside the limit of its name, and lists the others.
func (p *place) values() {
	var also []string
	for _, v := range p.Values {
		value := catalog.Format(v.Value, catalog.Unit(v.Unit))
		if limit, ok := p.Limits.Get(v.Name); ok {
			p.Compared = append(p.Compared, compared{spaced(v.Name), value, catalog.FormatLimit(limit, catalog.Unit(v.Unit)), newBar(v.Value, limit)})
		} else {
			also = append(also, spaced(v.Name)+" "+value)
		}
	}
	for _, l := range p.Limits {
		if _, ok := p.Values.Get(l.Name); !ok {
			also = append(also, "limit "+spaced(l.Name)+" "+catalog.FormatLimit(l.Value, catalog.Unit(l.Unit)))
		}
	}
	p.Also = strings.Join(also, ", ")
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
