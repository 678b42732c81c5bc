package report

import (
	"fmt"
	"html/template"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// groupPage is the findings of one rule on one model: why and what to do are said once.
type groupPage struct {
	Rule    string
	Level   string
	Badge   template.HTML
	Because string
	Do      string
	Source  string
	Places  []*placePage
}

// placePage is one finding.
type placePage struct {
	ID         string
	Number     int
	Badge      template.HTML
	Message    string
	Where      string
	Do         string // where it differs from that of the first
	Compared   []comparedPage
	Also       string
	Layer      template.HTML
	LayerWords string
	level      finding.Level
}

// comparedPage is a value beside the limit of the same name.
type comparedPage struct {
	Name, Value, Limit string
	Bar                template.HTML
}

// groups gathers the findings by rule, the worst first, and numbers them.
func (p *modelPage) groups(m *finding.Model, rules map[string]*finding.Rule) {
	byRule := map[string]*groupPage{}
	for n, i := range p.shown {
		f := &m.Findings[i]
		key := f.Rule + "\x00" + string(f.Level)
		g := byRule[key]
		if g == nil {
			g = &groupPage{Rule: Safe(f.Rule), Level: string(f.Level), Badge: levelBadge(f.Level, 0), Do: capital(Safe(f.Advice))}
			if r := rules[f.Rule]; r != nil {
				g.Because, g.Source = capital(Safe(r.Because)), capital(Safe(r.Source))
			}
			byRule[key] = g
			p.Groups = append(p.Groups, g)
		}
		place := newPlacePage(m, f, p.ID, n+1)
		if place.Do == g.Do {
			place.Do = ""
		}
		g.Places = append(g.Places, place)
		p.places[i] = place
	}
}

func newPlacePage(m *finding.Model, f *finding.Finding, model, number int) *placePage {
	p := &placePage{
		ID: fmt.Sprintf("m%d-%d", model, number), Number: number, Badge: levelBadge(f.Level, number),
		Message: capital(Safe(f.Said())), Do: capital(Safe(f.Advice)), level: f.Level,
	}
	var place []string
	if f.Triangle > 0 {
		place = append(place, "at "+where(m, f.At))
	}
	switch {
	case f.Line > 0:
		place = append(place, fmt.Sprintf("line %d", f.Line))
	case f.Triangle > 0:
		place = append(place, fmt.Sprintf("triangle %d", f.Triangle))
	}
	p.Where = strings.Join(place, ", ")
	p.values(f)
	return p
}

// values sets each value beside the limit of its name, and lists the others.
func (p *placePage) values(f *finding.Finding) {
	var also []string
	for _, v := range f.Values {
		value := catalog.Format(v.Value, catalog.Unit(v.Unit))
		limit, ok := f.Limits.Get(v.Name)
		if !ok {
			also = append(also, spaced(v.Name)+" "+value)
			continue
		}
		p.Compared = append(p.Compared, comparedPage{
			Name: spaced(v.Name), Value: Safe(value), Limit: Safe(catalog.FormatLimit(limit, catalog.Unit(v.Unit))), Bar: bar(v.Value, limit),
		})
	}
	for _, l := range f.Limits {
		if _, ok := f.Values.Get(l.Name); !ok {
			also = append(also, "limit "+spaced(l.Name)+" "+catalog.FormatLimit(l.Value, catalog.Unit(l.Unit)))
		}
	}
	p.Also = Safe(strings.Join(also, ", "))
}

// spaced turns a name of the catalogue into words.
func spaced(name string) string { return Safe(strings.NewReplacer("_", " ", "-", " ").Replace(name)) }

// bar shows a value as a length and its limit as a mark across it; nothing where one of
// them has no length.
func bar(value, limit float64) template.HTML {
	most := max(value, limit)
	if !(min(value, limit) >= 0) || !(most > 0) || most > 1e12 {
		return ""
	}
	const width = 96.0
	at := func(x float64) float64 { return x / most * (width - 6) }
	return template.HTML(fmt.Sprintf(`<svg class="bar" viewBox="0 0 %g 12" aria-hidden="true"><rect class="track" y="4.5" width="%g" height="3"/><rect class="value" y="2.5" width="%.1f" height="7"/><path class="limit" d="M%.1f 0V12"/></svg>`,
		width, width, at(value), at(limit)+1))
}
