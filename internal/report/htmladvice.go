package report

import (
	"fmt"
	"strconv"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// advicePage is the ways up and the support plan.
type advicePage struct {
	Words   string
	Poses   []posePage
	Support *supportPage
}

// posePage is one way up.
type posePage struct {
	Number                                    int
	Words, Leaves, Flat, Height, Print, Rough string
	Costs                                     []string
}

// supportPage is the support for the first way up.
type supportPage struct {
	Words string
	Sites []sitePage
}

// sitePage is one place to be carried.
type sitePage struct{ At, Kind, Stands, Height, Area, Contact, Cost, Why, Risk, Reach string }

// advise fills in the advice.
func (p *modelPage) advise(m *finding.Model) {
	a := m.Advice
	if a == nil {
		return
	}
	p.Advice = &advicePage{Words: capital(Safe(a.Words))}
	for i := range a.Poses {
		p.Advice.Poses = append(p.Advice.Poses, newPosePage(&a.Poses[i], i+1))
	}
	if a.Support != nil {
		p.Advice.Support = newSupportPage(a.Support)
	}
}

func newPosePage(p *finding.Pose, number int) posePage {
	out := posePage{
		Number: number, Words: Safe(p.Words), Leaves: "no finding",
		Flat: catalog.Format(p.Base, catalog.MM2), Height: catalog.Format(p.Height, catalog.MM),
		Print: about(p.Grams, p.Minutes), Rough: "none",
	}
	if c := p.Findings; c != (finding.LevelCount{}) {
		out.Leaves = levels(finding.Summary{Error: c.Error, Warning: c.Warning, Note: c.Note})
	}
	if p.Support != nil {
		out.Rough = about(p.Support.Grams, p.Support.Minutes)
	}
	for _, c := range p.Costs {
		out.Costs = append(out.Costs, Safe(c))
	}
	return out
}

func newSupportPage(s *finding.Support) *supportPage {
	out := &supportPage{Words: fmt.Sprintf("%s, %s, touches %s of the model", Safe(s.Kind), about(s.Grams, s.Minutes), catalog.Format(s.Contact, catalog.MM2))}
	if s.Cost > 0 {
		out.Words += ", costs " + strconv.FormatFloat(s.Cost, 'f', 2, 64)
	}
	for i := range s.Sites {
		k := &s.Sites[i]
		out.Sites = append(out.Sites, sitePage{
			At: "(" + Point(k.At) + ")", Kind: Safe(k.Kind), Stands: Safe(k.Stands),
			Height: catalog.Format(k.Drop, catalog.MM), Area: catalog.Format(k.Area, catalog.MM2),
			Contact: catalog.Format(k.Contact, catalog.MM2), Cost: about(k.Grams, k.Minutes),
			Why: Safe(k.Why), Risk: Safe(k.Risk), Reach: Safe(k.Reach),
		})
	}
	return out
}

// about writes an estimate.
func about(grams, minutes float64) string {
	return "about " + catalog.Format(grams, catalog.Gram) + " and " + catalog.Format(minutes, catalog.Minute)
}

// capital begins with a capital.
func capital(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}
