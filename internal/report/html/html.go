// Package html writes a report as one page that needs nothing beside itself: no network,
// and without JavaScript everything but sorting, filtering and turning.
//
// Its words stand in the templates below assets. They are given a report in which every
// name is safe to show, and html/template makes text of it.
package html

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// assets are the parts of the page. The script is bundled by hand from the sources in
// web, see web/build.mjs.
//
//go:embed assets
var assets embed.FS

var (
	styleText  = asset("style.css")
	scriptText = asset("report.js")

	pageTemplate = template.Must(template.New("page.html").Funcs(template.FuncMap{
		"about":     catalog.About,
		"byhand":    func(c finding.Choice) string { return words.ByHand(&c) },
		"choice":    func(c finding.Choice) string { return words.Choice(&c) },
		"badge":     badgeOf,
		"became":    words.Became,
		"capital":   words.Capital,
		"hatchings": func() template.HTML { return template.HTML(draw.Hatchings()) },
		"leaves":    finding.LevelCount.String,
		"guides":    newGuides,
		"mm":        func(x float64) string { return catalog.Format(x, catalog.MM) },
		"mm2":       func(x float64) string { return catalog.Format(x, catalog.MM2) },
		"moved":     func(m *finding.Model) []words.Moved { return words.MovedFigures(m, false) },
		"next":      func(i int) int { return i + 1 },
		"point":     words.Point,
		"sentence":  sentence,
		"spaced":    spaced,
		"tenth":     tenth,
	}).ParseFS(assets, "assets/*.html"))
)

// asset is the text of a part, which is embedded and so is there.
func asset(name string) string {
	text, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// policy is what the page may do: run its one script, use its one style sheet, show the
// pictures it carries, and nothing else. Nothing is ever fetched.
func policy() string {
	return "default-src 'none'; img-src data:; style-src '" + digest(styleText) + "'; script-src '" + digest(scriptText) +
		"'; base-uri 'none'; form-action 'none'"
}

// digest is the hash by which a policy knows an element by its text.
func digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// Options steer what the page shows.
type Options struct {
	// Covered shows openly what was accepted.
	Covered bool
	// Pictures, when not nil, returns what was drawn of the model of that index, or nil.
	Pictures func(model int) *draw.Pictures
	// Drawn is how many models have pictures at most, the worst ones; 0 is no bound.
	Drawn int
	// Value, when not nil, says in the words of the catalogue what a value of a rule's
	// measure is, and whether its limit is one that holds "at most" or "at least".
	Value func(rule, value string) (doc, bound string)
}

// page is everything the templates show.
type page struct {
	*finding.Report
	RuleSet       *finding.RuleSet
	Policy        string
	Style, Script template.HTML // whole elements, whose texts are our own
	Config        string        // by which rules the run went
	Against       string        // what a change did; empty where nobody asked
	Gone          []string      // what a change took away
	Title         string
	States        map[string]int
	Totals        []total
	Models        []*model
	Listing       bool     // the page has the list of models
	Part          *part    // which part of the list; nil where it is all of it
	Shown         []*model // whose sections the page has
	List          []listed
	Found         []string // rules that found something, for the filter
	Why           []why
	Folder        string // that all models lie in
	Pictures      bool   // some model has one
	Thumbs        bool   // the list shows them
	Columns       []column
	Matrix        []*model // rows of the table of models by machines
	Unlisted      int      // rows that it has no room for
	Where         string   // how the verdicts of the machines make one
}

// why is a rule with what it is about.
type why struct {
	*finding.Rule
	Title string
}

// total is one number of the summary.
type total struct {
	Count int
	Word  string
	State string // that it counts
	Badge badge
}

// Write writes the report as one page.
func Write(w io.Writer, r *finding.Report, o Options) error {
	p := newPage(r, &o)
	p.Listing, p.Shown, p.Thumbs = true, p.Models, p.Pictures
	for _, m := range p.Models {
		m.Home, m.Link = "#models", fmt.Sprintf("#m%d", m.ID)
	}
	return p.write(w)
}

func newPage(r *finding.Report, o *Options) *page {
	r = words.Plain(r)
	p := &page{
		Report: r, RuleSet: &r.Rules, Policy: policy(), Config: words.Rules(&r.Rules), States: map[string]int{},
		Style: template.HTML("<style>" + styleText + "</style>"), Script: template.HTML("<script>" + scriptText + "</script>"),
	}
	p.models(o)
	p.compared()
	p.shelf()
	p.Title, p.Totals = verdict(p.States, len(p.Columns), words.AcceptedErrors(r)), totals(p.States, len(p.Columns))
	return p
}

// compared tells what a change did.
func (p *page) compared() {
	c := p.Report.Compared
	if c == nil {
		return
	}
	p.Against = words.Capital(words.Compared(p.Report)) + "."
	of := map[int]*words.Effect{}
	for _, e := range words.Effects(p.Report) {
		of[e.Index] = &e
	}
	for _, m := range p.Models {
		m.Effect = of[m.ID-1]
	}
	for _, name := range c.Lost {
		p.Gone = append(p.Gone, words.Safe(name)+": the model is gone")
	}
	for i := range c.Models {
		m := &c.Models[i]
		for _, groups := range words.Grouped(m) {
			for k := range groups {
				p.Gone = append(p.Gone, words.Safe(m.Path)+": "+groups[k].Message(m))
			}
		}
	}
}

func (p *page) write(w io.Writer) error {
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, p); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
}

// verdict is the run in one sentence, for so many machines, where so many of the models that
// are fine have an error that was accepted.
func verdict(states map[string]int, machines, accepted int) string {
	said := strings.TrimSuffix(verdictOfAll(states, machines), ".")
	switch {
	case accepted == 0:
		return said + "."
	case accepted == states["fine"]:
		return said + ", only because errors were accepted."
	}
	return fmt.Sprintf("%s, %d only because errors were accepted.", said, accepted)
}

// verdictOfAll is the run for so many machines.
func verdictOfAll(states map[string]int, machines int) string {
	text := verdictOfOne(states)
	said, about := strings.CutSuffix(text, ".")
	switch about = about && (strings.HasSuffix(said, " lies") || strings.HasSuffix(said, " lie")); {
	case machines < 2 || !about:
		return text
	case strings.Contains(said, "would fail"):
		return said + " on one machine or more."
	}
	return said + " on every machine."
}

// verdictOfOne is the run on one machine.
func verdictOfOne(states map[string]int) string {
	fine := states["fine"]
	all := fine + states["fail"] + states["look"] + states["unread"]
	switch {
	case all == 0:
		return "No model was judged."
	case all == 1 && fine == 1:
		return "The model prints as it lies."
	case fine == all:
		return "All " + words.Count(all, "model") + " print as they lie."
	case all == 1 && states["fail"] == 1:
		return "The model would fail as it lies."
	case all == 1:
		return "The model needs a look before it is printed."
	case fine == 0:
		return "None of " + words.Count(all, "model") + " prints as it lies."
	case fine == 1:
		return "1 of " + words.Count(all, "model") + " prints as it lies."
	}
	return strconv.Itoa(fine) + " of " + words.Count(all, "model") + " print as they lie."
}

// totals are the counts that a reader needs first, for so many machines.
func totals(states map[string]int, machines int) []total {
	fails := "would fail"
	if machines > 1 {
		fails = "would fail on one machine or more"
	}
	list := []total{
		{states["fail"], fails, "fail", badgeOf(finding.Error, 0)},
		{states["look"], "to look at", "look", badgeOf(finding.Warning, 0)},
		{states["fine"], "fine", "fine", clean},
	}
	if n := states["unread"]; n > 0 {
		list = append(list, total{n, "could not be judged", "unread", badgeOf(finding.Error, 0)})
	}
	if n := states["left"]; n > 0 {
		list = append(list, total{n, "skipped", "left", badge{}})
	}
	return list
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return words.Capital(s)
	}
	return words.Capital(s) + "."
}
