package report

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // the page's style, script and template
	"encoding/base64"
	"html/template"
	"io"
	"strconv"

	"printlint/internal/finding"
)

// The parts of the page. The script is bundled from the sources in web by hand, see
// web/build.mjs.
var (
	//go:embed assets/page.html
	pageText string
	//go:embed assets/model.html
	modelText string
	//go:embed assets/style.css
	styleText string
	//go:embed assets/report.js
	scriptText string
)

var pageTemplate = template.Must(template.Must(template.New("page").Parse(pageText)).Parse(modelText))

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

// page is everything the template shows.
type page struct {
	Policy   string
	Style    template.HTML
	Script   template.HTML
	Data     template.HTML
	Patterns template.HTML
	Version  string
	Sets     []string
	Digest   string
	Config   string // by which rules the run went
	Verdict  string
	Totals   []total
	Rules    []string // that found something, for the filter
	Models   []*modelPage
	Folder   string // that all of them lie in
	Cautions []string
	Pictures bool // some model has one
	Turnable bool
	Layers   bool
}

// total is one number of the summary.
type total struct {
	Count int
	Word  string
	Badge template.HTML
}

// writeHTML writes one page that needs nothing beside itself: no network, and without
// JavaScript everything but sorting, filtering and turning.
func writeHTML(w io.Writer, r *finding.Report, opt Options) error {
	p := &page{
		Policy:   policy(),
		Style:    element("style", "", styleText),
		Script:   element("script", "", scriptText),
		Patterns: template.HTML(patterns),
		Version:  r.Tool.Name + " " + Safe(r.Tool.Version), Digest: r.Rules.Digest, Config: Rules(&r.Rules),
		Verdict: verdict(r), Totals: totalsOf(r), Cautions: pageCautions,
	}
	for _, s := range r.Rules.Sets {
		p.Sets = append(p.Sets, Safe(s))
	}
	err := p.models(r, opt)
	if err != nil {
		return err
	}
	if p.Data, err = listData(p.Models); err != nil {
		return err
	}
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, p); err != nil {
		return err
	}
	_, err = w.Write(out.Bytes())
	return err
}

// element writes an element whose text is our own and holds no end of itself.
func element(name, attributes, text string) template.HTML {
	return template.HTML("<" + name + attributes + ">" + text + "</" + name + ">")
}

// pageCautions is what every page says at its end.
var pageCautions = []string{
	"A clean report means that the shape suits the process. It says nothing about strength, heat, food contact, electrical safety or the safety of children.",
	"Parts that carry load, or on which somebody's safety depends, need a qualified person and the local rules.",
	"Nozzle, bed and fresh plastic are hot, and the machine moves: keep hands and hair away while it works.",
	"Melted plastic gives off fumes and fine dust: ventilate the room.",
	"Do not leave a machine to print unattended; keep it clear of what can burn.",
	"Wear eye protection when support comes off, let the part cool first, and cut away from your hands.",
}

// verdict is the run in one sentence.
func verdict(r *finding.Report) string {
	s := r.Summary
	switch {
	case s.Models == 0:
		return "No model was judged."
	case s.Clean == s.Models && s.Models == 1:
		return "The model prints as it lies."
	case s.Clean == s.Models:
		return "All " + count(s.Models, "model") + " print as they lie."
	case s.Models == 1:
		return "The model needs a look before it is printed."
	}
	clean := "None"
	if s.Clean > 0 {
		clean = strconv.Itoa(s.Clean)
	}
	return clean + " of " + count(s.Models, "model") + " " + plural(s.Clean, "prints as it lies", "print as they lie") + " without a finding."
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// totalsOf lists what there is some of.
func totalsOf(r *finding.Report) []total {
	s := r.Summary
	var list []total
	add := func(n int, one, many string, badge template.HTML) {
		if n > 0 {
			list = append(list, total{n, plural(n, one, many), badge})
		}
	}
	add(s.Clean, "clean", "clean", cleanBadge)
	add(s.Error, "error", "errors", levelBadge(finding.Error, 0))
	add(s.Warning, "warning", "warnings", levelBadge(finding.Warning, 0))
	add(s.Note, "note", "notes", levelBadge(finding.Note, 0))
	add(s.Waived, "accepted in writing", "accepted in writing", "")
	add(s.Undecided, "undecided", "undecided", levelBadge(finding.Error, 0))
	add(s.Unreadable, "could not be judged", "could not be judged", levelBadge(finding.Error, 0))
	add(skipped(r.Models), "skipped", "skipped", "")
	return list
}
