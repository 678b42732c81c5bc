package html

import (
	"cmp"
	"encoding/base64"
	"fmt"
	"html/template"
	"regexp"
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
	ID, Worst  int    // number in the page, and rank with the worst first, both from 1
	Short      string // its path without the folder that all models lie in
	Title      string // its name in words
	State      string // one of states: what the filter asks for
	Answer     string // whether it prints
	First      string // what to do first
	Badge      badge
	Levels     finding.LevelCount
	Facts      []string
	Size       string
	Height     float64
	Rules      []*rule
	Todo       []string
	Commands   []string
	Accepted   []*finding.Finding // in writing
	Covered    bool               // show them openly
	Views      []view
	Undrawn    string         // why there is none of very many models
	Sides      []view         // before and after a change
	drawn      *draw.Proposed // what is advised to change in the shape
	Thumb      template.URL   // for the list of a folder, which has no other
	Shape      *draw.Shape
	Slices     *draw.Slices
	Prev, Next *model
	Link, Home string         // of its own section, and of the list
	Cells      []words.Cell   // by machine; empty where the run knew only one
	On         []verdictOn    // the same in full, with what to do
	advised    string         // the machine whose advice is that of the model
	Left       int            // accepted findings that are not listed
	Effect     *words.Effect  // what a change did; nil where nobody asked, and of a configuration
	places     map[int]*place // by number, looked up only
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
	ID       int           `json:"id"`
	Name     string        `json:"name"`
	Path     string        `json:"path"`
	State    string        `json:"state"`
	Worst    int           `json:"worst"`
	Errors   int           `json:"errors"`
	Warnings int           `json:"warnings"`
	Notes    int           `json:"notes"`
	Height   float64       `json:"height"`
	Rules    []string      `json:"rules"`
	On       []words.State `json:"on,omitempty"` // by machine
}

// models fills in every model, the worst first.
func (p *page) models(o *Options) {
	meanings := map[string]*finding.Rule{}
	for i := range p.RuleSet.Rules {
		meanings[p.RuleSet.Rules[i].ID] = &p.RuleSet.Rules[i]
	}
	for i := range p.Report.Models {
		m := newModel(p.Report, i, o, meanings)
		if o.Pictures != nil {
			m.draw(o.Pictures(i))
			m.undrawn(o.Drawn, len(p.Report.Models))
		}
		p.Models = append(p.Models, m)
	}
	slices.SortStableFunc(p.Models, worstFirst)
	p.Folder = commonFolder(p.Models)
	p.List = []listed{}
	var found []string
	for i, m := range p.Models {
		m.Worst, m.Short = i+1, strings.TrimPrefix(m.Path, p.Folder)
		if i > 0 {
			m.Prev, p.Models[i-1].Next = p.Models[i-1], m
		}
		if m.Kind != finding.KindConfig {
			p.States[m.State]++
		}
		l := listed{m.ID, m.Title, m.Short, m.State, m.Worst, m.Levels.Error, m.Levels.Warning, m.Levels.Note, m.Height, []string{}, nil}
		for _, c := range m.Cells {
			l.On = append(l.On, c.State)
		}
		if m.Part != "" {
			l.Name += " " + m.Part
		}
		for _, r := range m.Rules {
			l.Rules = append(l.Rules, r.Name)
		}
		p.List = append(p.List, l)
		found = append(found, l.Rules...)
		p.Pictures = p.Pictures || len(m.Views) > 0
	}
	slices.Sort(found)
	p.Found = slices.Compact(found)
	for _, name := range p.Found {
		if m := meanings[name]; m != nil && m.Because != "" {
			p.Why = append(p.Why, why{m, title(name, p.Models)})
		}
	}
}

// littleOf is the number that a title begins with, which is that of one place.
var littleOf = regexp.MustCompile(`^Only [0-9.]+ \S+ `)

// title is what the worst of some models says of a rule, in words, for all places.
func title(rule string, models []*model) string {
	for _, m := range models {
		for _, r := range m.Rules {
			if r.Name == rule {
				return littleOf.ReplaceAllString(r.Title, "Too little ")
			}
		}
	}
	return words.Capital(spaced(rule))
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

// states orders what became of models: not judged, would fail, worth a look, fine, skipped.
var states = []string{"unread", "fail", "look", "fine", "left"}

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

// maxAccepted is how many accepted findings of a model are listed. Judgement.
const maxAccepted = 60

func newModel(r *finding.Report, i int, o *Options, meanings map[string]*finding.Rule) *model {
	m := &r.Models[i]
	p := &model{Model: m, ID: i + 1, Title: titled(m), Covered: o.Covered}
	for i := range m.Findings {
		f := &m.Findings[i]
		switch {
		case f.Waived == nil:
		case len(p.Accepted) < maxAccepted:
			p.Accepted = append(p.Accepted, f)
		default:
			p.Left++
		}
	}
	p.gather(o, meanings)
	p.judge()
	p.facts()
	p.answer()
	p.machines(r)
	p.todo()
	p.commands()
	return p
}

// AllAccepted counts the accepted findings, listed or not.
func (p *model) AllAccepted() int { return len(p.Accepted) + p.Left }

// judge says what became of the model.
func (p *model) judge() {
	switch {
	case p.Unjudged():
		p.State, p.Badge = "unread", badgeOf(finding.Error, 0)
	case p.Status == finding.Skipped:
		p.State = "left"
	case p.Levels.Error > 0:
		p.State, p.Badge = "fail", badgeOf(finding.Error, 0)
	case p.Levels.Warning > 0:
		p.State, p.Badge = "look", badgeOf(finding.Warning, 0)
	default:
		p.State, p.Badge = "fine", clean
	}
}

// facts says what kind of file it is and how large.
func (p *model) facts() {
	if p.Kind == finding.KindConfig {
		p.Facts = []string{"the rules of this run"}
		return
	}
	if p.Kind == finding.KindFolder {
		p.Facts = []string{"a folder with models"}
		return
	}
	for _, v := range p.Measures.All() {
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
		if at := p.places[v.Number]; at != nil && at.group.Layer == "" {
			at.group.Layer, at.group.Layered = template.HTML(v.SVG), v.Words
		}
	}
	add := func(to *[]view, prefix, title string, e *draw.Encoded) {
		if e == nil {
			return
		}
		v := p.view(prefix, title, e)
		for _, b := range e.Badges {
			if at := p.places[b.Number]; at != nil {
				v.Pins = append(v.Pins, pin{badgeOf(at.Sign, b.Number), at.ID, tenth(b.X), tenth(b.Y), tenth(b.AtX), tenth(b.AtY)})
			}
		}
		*to = append(*to, v)
	}
	add(&p.Views, "p", "As it lies", d.Lying)
	add(&p.Views, "a", "The way up to try", d.Advised)
	add(&p.Views, "u", "As it lies, from below", d.Under)
	add(&p.Sides, "b", "Before the change", d.Before)
	add(&p.Sides, "c", "After it", d.After)
	p.Shape, p.Slices = d.Shape, d.Slices
	p.drawn = &d.Proposed
}

func (p *model) view(prefix, title string, e *draw.Encoded) view {
	return view{e, fmt.Sprintf("%s%d", prefix, p.ID), title, dataURL(e.PNG), nil}
}

// undrawn says why a model has no picture where only so many of all models have one.
func (p *model) undrawn(drawn, all int) {
	if p.OfModel() && len(p.Views) == 0 && drawn > 0 && all > drawn && p.Status == finding.Checked {
		p.Undrawn = fmt.Sprintf("No picture: of %d models the report draws only the %d worst. The commands below draw this one.", all, drawn)
	}
}

// dataURL is an address that holds a picture itself.
func dataURL(png []byte) template.URL {
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(png))
}

// tenth writes a length of a drawing.
func tenth(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
