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
		"about":     about,
		"badge":     badgeOf,
		"capital":   capital,
		"hatchings": func() template.HTML { return template.HTML(draw.Hatchings()) },
		"leaves":    finding.LevelCount.String,
		"mm":        func(x float64) string { return catalog.Format(x, catalog.MM) },
		"mm2":       func(x float64) string { return catalog.Format(x, catalog.MM2) },
		"next":      func(i int) int { return i + 1 },
		"point":     words.Point,
		"sentence":  sentence,
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

// page is everything the templates show.
type page struct {
	*finding.Report
	Policy        string
	Style, Script template.HTML // whole elements, whose texts are our own
	Config        string        // by which rules the run went
	Verdict       string
	Totals        []total
	Models        []*model
	List          []listed
	Found         []string // rules that found something, for the filter
	Folder        string   // that all models lie in
	Pictures      bool     // some model has one
	Layers        bool     // some finding has a view of its layer
}

// total is one number of the summary.
type total struct {
	Count int
	Word  string
	Badge badge
}

// Write writes the page. With covered, what was accepted is shown openly. Pictures, when
// not nil, returns what was drawn of the model of that index, or nil.
func Write(w io.Writer, r *finding.Report, covered bool, pictures func(model int) *draw.Pictures) error {
	r = words.Plain(r)
	p := &page{
		Report: r, Policy: policy(), Config: words.Rules(&r.Rules), Verdict: verdict(r), Totals: totals(r),
		Style: template.HTML("<style>" + styleText + "</style>"), Script: template.HTML("<script>" + scriptText + "</script>"),
	}
	p.models(covered, pictures)
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, p); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
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
		return "All " + words.Count(s.Models, "model") + " print as they lie."
	case s.Models == 1:
		return "The model needs a look before it is printed."
	}
	some, print := "None", "print as they lie"
	if s.Clean > 0 {
		some = strconv.Itoa(s.Clean)
	}
	if s.Clean == 1 {
		print = "prints as it lies"
	}
	return some + " of " + words.Count(s.Models, "model") + " " + print + " without a finding."
}

// totals lists what there is some of.
func totals(r *finding.Report) []total {
	s := r.Summary
	var list []total
	add := func(n int, word string, badge badge) {
		if n > 0 {
			list = append(list, total{n, word, badge})
		}
	}
	level := func(n int, l finding.Level) {
		_, word, _ := strings.Cut(words.Count(n, string(l)), " ")
		add(n, word, badgeOf(l, 0))
	}
	add(s.Clean, "clean", clean)
	level(s.Error, finding.Error)
	level(s.Warning, finding.Warning)
	level(s.Note, finding.Note)
	add(s.Waived, "accepted in writing", badge{})
	add(s.Undecided, "undecided", badgeOf(finding.Error, 0))
	add(s.Unreadable, "could not be judged", badgeOf(finding.Error, 0))
	add(words.Skipped(r), "skipped", badge{})
	return list
}

// about writes an estimate; what rounds to nothing is said to be little.
func about(grams, minutes float64) string {
	little := func(x, least float64, u catalog.Unit) string {
		if x < least {
			return "less than " + catalog.Format(least, u)
		}
		return catalog.Format(x, u)
	}
	text := little(grams, 0.1, catalog.Gram) + " and " + little(minutes, 1, catalog.Minute)
	if !strings.HasPrefix(text, "less") {
		text = "about " + text
	}
	return text
}

// capital begins with a capital.
func capital(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return capital(s)
	}
	return capital(s) + "."
}
