package report

import (
	"cmp"
	"encoding/base64"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// kindConfig marks the entry that stands for a configuration and is no model.
const kindConfig = "configuration"

// modelPage is one model as the page shows it.
type modelPage struct {
	ID, Worst int // number in the page, and rank with the worst first, both from 1
	Name      string
	Short     string // Name without the folder that all models lie in
	Part      string
	State     string // found, clean, unread or left: what the filter asks for
	Verdict   string
	Badge     template.HTML
	Levels    finding.LevelCount
	Reason    string
	Facts     []string
	Size      string
	Height    float64
	Notes     []string
	Groups    []*groupPage
	Waived    []waivedPage
	Covered   bool // show them openly
	Advice    *advicePage
	Views     []viewPage
	Thumb     string // id of the picture that the list shows small
	Shape     template.HTML
	shown     []int
	places    map[int]*placePage // by index of the finding, looked up only
}

// waivedPage is a finding accepted in writing.
type waivedPage struct{ Rule, Message, Reason, Until string }

// viewPage is one picture with its badges.
type viewPage struct {
	ID            string
	Title, Words  string
	Width, Height int
	Source        template.URL
	Badges        template.HTML
}

// models fills in every model, the worst first.
func (p *page) models(r *finding.Report, opt Options) error {
	rules := map[string]*finding.Rule{}
	for i := range r.Rules.Rules {
		rules[r.Rules.Rules[i].ID] = &r.Rules.Rules[i]
	}
	for i := range r.Models {
		m := newModelPage(&r.Models[i], i+1, rules)
		m.Covered = opt.Covered
		if opt.Pictures != nil {
			if drawn := opt.Pictures(i); drawn != nil {
				if err := m.draw(drawn); err != nil {
					return err
				}
			}
		}
		p.Models = append(p.Models, m)
	}
	slices.SortStableFunc(p.Models, worstFirst)
	p.Folder = commonFolder(p.Models)
	seen := map[string]bool{}
	for i, m := range p.Models {
		m.Worst, m.Short = i+1, strings.TrimPrefix(m.Name, p.Folder)
		for _, g := range m.Groups {
			if !seen[g.Rule] {
				seen[g.Rule] = true
				p.Rules = append(p.Rules, g.Rule)
			}
			for _, f := range g.Places {
				p.Layers = p.Layers || f.Layer != ""
			}
		}
		p.Pictures = p.Pictures || len(m.Views) > 0
		p.Turnable = p.Turnable || m.Shape != ""
	}
	slices.Sort(p.Rules)
	return nil
}

// commonFolder is the folder that all models lie in, with a slash at its end; empty where
// they do not, or where there is one alone.
func commonFolder(models []*modelPage) string {
	if len(models) < 2 {
		return ""
	}
	folder := models[0].Name
	for _, m := range models {
		for !strings.HasPrefix(m.Name, folder) || !strings.HasSuffix(folder, "/") {
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

func worstFirst(a, b *modelPage) int {
	rank := func(m *modelPage) int { return slices.Index(states, m.State) }
	return cmp.Or(
		cmp.Compare(rank(a), rank(b)),
		cmp.Compare(b.Levels.Error, a.Levels.Error),
		cmp.Compare(b.Levels.Warning, a.Levels.Warning),
		cmp.Compare(b.Levels.Note, a.Levels.Note),
		cmp.Compare(a.ID, b.ID),
	)
}

func newModelPage(m *finding.Model, number int, rules map[string]*finding.Rule) *modelPage {
	p := &modelPage{ID: number, Name: Safe(m.Path), Part: Safe(m.Part), Reason: Safe(m.Reason), shown: Shown(m), places: map[int]*placePage{}}
	for _, i := range p.shown {
		switch m.Findings[i].Level {
		case finding.Error:
			p.Levels.Error++
		case finding.Warning:
			p.Levels.Warning++
		case finding.Note:
			p.Levels.Note++
		}
	}
	for _, n := range m.Notes {
		p.Notes = append(p.Notes, Safe(n))
	}
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Waived != nil {
			p.Waived = append(p.Waived, waivedPage{Safe(f.Rule), Safe(f.Message), Safe(f.Waived.Reason), Safe(f.Waived.Until)})
		}
	}
	p.judge(m)
	p.facts(m)
	p.groups(m, rules)
	p.advise(m)
	return p
}

// judge words what became of the model.
func (p *modelPage) judge(m *finding.Model) {
	switch {
	case m.Status == finding.Unreadable:
		p.State, p.Verdict, p.Badge = "unread", "could not be judged", levelBadge(finding.Error, 0)
	case m.Status == finding.Undecided:
		p.State, p.Verdict, p.Badge = "unread", "could not be judged whole", levelBadge(finding.Error, 0)
	case m.Status == finding.Skipped:
		p.State, p.Verdict = "left", "skipped"
	case len(p.shown) == 0:
		p.State, p.Verdict, p.Badge = "clean", "clean", cleanBadge
	default:
		worst := m.Findings[p.shown[0]].Level
		p.State, p.Badge = "found", levelBadge(worst, 0)
		p.Verdict = levels(finding.Summary{Error: p.Levels.Error, Warning: p.Levels.Warning, Note: p.Levels.Note})
	}
}

// facts says what kind of file it is and how large.
func (p *modelPage) facts(m *finding.Model) {
	if m.Kind == kindConfig {
		p.Facts = append(p.Facts, "the rules of this run")
		return
	}
	for _, v := range m.Measures {
		if v.Name != "size" {
			continue
		}
		x, okX := v.Values.Get("x")
		y, okY := v.Values.Get("y")
		z, okZ := v.Values.Get("z")
		if okX && okY && okZ {
			p.Height = z
			p.Size = fmt.Sprintf("%s × %s × %s mm", trimmed(x), trimmed(y), trimmed(z))
			p.Facts = append(p.Facts, p.Size)
		}
	}
	if m.Triangles > 0 {
		p.Facts = append(p.Facts, count(m.Triangles, "triangle"))
	}
	if m.Kind != "" {
		p.Facts = append(p.Facts, Safe(m.Kind))
	}
}

// trimmed writes a length in mm as a value of the catalogue reads, without its unit.
func trimmed(x float64) string {
	return strings.TrimSuffix(catalog.Format(x, catalog.MM), " mm")
}

// place returns what the page says of a finding, or nil where it is not shown.
func (p *modelPage) place(finding int) *placePage { return p.places[finding] }

// draw adds what was drawn of the model.
func (p *modelPage) draw(d *Pictures) error {
	for _, v := range d.Layers {
		if place := p.place(v.Finding); place != nil {
			place.Layer, place.LayerWords = template.HTML(v.SVG), v.Words
		}
	}
	p.view("p", "As it lies", d.Lying)
	p.view("u", "The underside", d.Under)
	p.view("a", "The way up that is advised", d.Advised)
	if d.Lying != nil {
		p.Thumb = fmt.Sprintf("p%d", p.ID)
	}
	if d.Shape != nil {
		var err error
		if p.Shape, err = dataBlock(fmt.Sprintf("shape-%d", p.ID), d.Shape); err != nil {
			return err
		}
	}
	return nil
}

func (p *modelPage) view(prefix, title string, v *Picture) {
	if v == nil {
		return
	}
	p.Views = append(p.Views, viewPage{
		ID: fmt.Sprintf("%s%d", prefix, p.ID), Title: title, Words: v.Words, Width: v.Width, Height: v.Height,
		Source: template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(v.PNG)),
		Badges: pictureBadges(p, v),
	})
}
