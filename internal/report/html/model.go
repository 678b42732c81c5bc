package html

import (
	"cmp"
	"encoding/base64"
	"fmt"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// model is one model as the page shows it.
type model struct {
	*finding.Model
	ID, Worst int    // number in the page, and rank with the worst first, both from 1
	Short     string // its path without the folder that all models lie in
	State     string // one of states: what the filter asks for
	Verdict   string
	Badge     badge
	Levels    finding.LevelCount
	Facts     []string
	Size      string
	Height    float64
	Groups    []*group
	Accepted  []*finding.Finding // in writing
	Covered   bool               // show them openly
	Views     []view
	Shape     *draw.Shape
	places    map[int]*place // by number, looked up only
}

// view is one picture with its badges.
type view struct {
	*draw.Encoded
	ID, Title string
	Source    template.URL
	Pins      []pin
}

// listed is what the script of the page needs to know of a model to sort and filter.
type listed struct {
	ID       int      `json:"id"`
	Name     string   `json:"name"`
	State    string   `json:"state"`
	Worst    int      `json:"worst"`
	Errors   int      `json:"errors"`
	Warnings int      `json:"warnings"`
	Notes    int      `json:"notes"`
	Height   float64  `json:"height"`
	Rules    []string `json:"rules"`
}

// models fills in every model, the worst first.
func (p *page) models(covered bool, pictures func(int) *draw.Pictures) {
	rules := map[string]*finding.Rule{}
	for i := range p.Rules.Rules {
		rules[p.Rules.Rules[i].ID] = &p.Rules.Rules[i]
	}
	for i := range p.Report.Models {
		m := newModel(&p.Report.Models[i], i+1, rules)
		m.Covered = covered
		if pictures != nil {
			m.draw(pictures(i))
		}
		p.Models = append(p.Models, m)
	}
	slices.SortStableFunc(p.Models, worstFirst)
	p.Folder = commonFolder(p.Models)
	p.List = []listed{}
	for i, m := range p.Models {
		m.Worst, m.Short = i+1, strings.TrimPrefix(m.Path, p.Folder)
		l := listed{m.ID, m.Short, m.State, m.Worst, m.Levels.Error, m.Levels.Warning, m.Levels.Note, m.Height, []string{}}
		if m.Part != "" {
			l.Name += " " + m.Part
		}
		for _, g := range m.Groups {
			l.Rules = append(l.Rules, g.Rule)
			for _, f := range g.Places {
				p.Layers = p.Layers || f.Layer != ""
			}
		}
		p.List = append(p.List, l)
		p.Found = append(p.Found, l.Rules...)
		p.Pictures = p.Pictures || len(m.Views) > 0
	}
	slices.Sort(p.Found)
	p.Found = slices.Compact(p.Found)
}

// commonFolder is the folder that all models lie in, with a slash at its end; empty where
// they do not, or where there is one alone.
func commonFolder(models []*model) string {
	if len(models) < 2 {
		return ""
	}
	folder := models[0].Path
	for _, m := range models {
		for !strings.HasPrefix(m.Path, folder) || !strings.HasSuffix(folder, "/") {
			at := strings.LastIndex(strings.TrimSuffix(folder, "/"), "/")
			if folder = folder[:at+1]; folder == "" {
				return ""
			}
		}
	}
	return folder
}

// states orders what became of models.
var states = []string{"unread", "found", "clean", "left"}

func worstFirst(a, b *model) int {
	rank := func(m *model) int { return slices.Index(states, m.State) }
	return cmp.Or(
		cmp.Compare(rank(a), rank(b)),
		cmp.Compare(b.Levels.Error, a.Levels.Error),
		cmp.Compare(b.Levels.Warning, a.Levels.Warning),
		cmp.Compare(b.Levels.Note, a.Levels.Note),
		cmp.Compare(a.ID, b.ID),
	)
}

func newModel(m *finding.Model, number int, rules map[string]*finding.Rule) *model {
	p := &model{Model: m, ID: number}
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Waived != nil {
			p.Accepted = append(p.Accepted, f)
		}
	}
	p.groups(rules)
	p.judge()
	p.facts()
	return p
}

// judge words what became of the model.
func (p *model) judge() {
	switch {
	case p.Status == finding.Unreadable:
		p.State, p.Verdict, p.Badge = "unread", "could not be judged", badgeOf(finding.Error, 0)
	case p.Status == finding.Undecided:
		p.State, p.Verdict, p.Badge = "unread", "could not be judged whole", badgeOf(finding.Error, 0)
	case p.Status == finding.Skipped:
		p.State, p.Verdict = "left", "skipped"
	case len(p.Groups) == 0:
		p.State, p.Verdict, p.Badge = "clean", "clean", clean
	case p.Clean():
		p.State, p.Verdict, p.Badge = "clean", "clean, "+words.Levels(p.Levels), clean
	default:
		p.State, p.Verdict, p.Badge = "found", words.Levels(p.Levels), badgeOf(p.Groups[0].Level, 0)
	}
}

// facts says what kind of file it is and how large.
func (p *model) facts() {
	if p.Kind == finding.KindConfig {
		p.Facts = []string{"the rules of this run"}
		return
	}
	for _, v := range p.Measures {
		x, okX := v.Values.Get("x")
		y, okY := v.Values.Get("y")
		z, okZ := v.Values.Get("z")
		if v.Name == "size" && okX && okY && okZ {
			length := func(x float64) string { return strings.TrimSuffix(catalog.Format(x, catalog.MM), " mm") }
			p.Height = z
			p.Size = fmt.Sprintf("%s × %s × %s mm", length(x), length(y), length(z))
			p.Facts = append(p.Facts, p.Size)
		}
	}
	if p.Triangles > 0 {
		p.Facts = append(p.Facts, words.Count(p.Triangles, "triangle"))
	}
	if p.Kind != "" {
		p.Facts = append(p.Facts, p.Kind)
	}
}

// draw adds what was drawn of the model, if anything was. What speaks of a finding that is
// not shown is left out.
func (p *model) draw(d *draw.Pictures) {
	if d == nil {
		return
	}
	for _, v := range d.Layers {
		if place := p.places[v.Number]; place != nil {
			place.Layer, place.LayerWords = template.HTML(v.SVG), v.Words
		}
	}
	add := func(prefix, title string, e *draw.Encoded) {
		if e == nil {
			return
		}
		v := view{e, fmt.Sprintf("%s%d", prefix, p.ID), title, template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(e.PNG)), nil}
		for _, b := range e.Badges {
			if at := p.places[b.Number]; at != nil {
				v.Pins = append(v.Pins, pin{badgeOf(at.Level, b.Number), at.ID, tenth(b.X), tenth(b.Y), tenth(b.AtX), tenth(b.AtY)})
			}
		}
		p.Views = append(p.Views, v)
	}
	add("p", "As it lies", d.Lying)
	add("u", "The underside", d.Under)
	add("a", "The way up that is advised", d.Advised)
	p.Shape = d.Shape
}

// tenth writes a length of a drawing.
func tenth(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
