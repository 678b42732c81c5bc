// Package verdict says what the rules find on one body in one pose: measures in, findings
// out, and what could not be decided. It reads no files, keeps nothing from one model to
// the next, and leaves waivers, levels that fail and everything else that is about a
// whole run to others.
package verdict

import (
	"fmt"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
)

// Subject is a body with the rules that hold for it. It is for one goroutine at a time.
type Subject struct {
	View *ruleset.View
	Mesh *mesh.Mesh // in the file's own frame
	Body *measure.Body
	// Requests are what is measured of it: first what the rules ask for, each measure and
	// parameters once, then what the caller wants beside that.
	Requests []measure.Request
	asked    int // how many of them the rules ask for
	part     string
	origin   origin
}

// New makes a subject of a mesh, the part of its file with that name. Of the extra requests
// those that the rules do not make anyway are added.
func New(m *mesh.Mesh, part string, view *ruleset.View, extra ...measure.Request) *Subject {
	s := &Subject{Mesh: m, Body: measure.NewBody(m), part: part, origin: originOf(m)}
	return s.By(view, extra...)
}

// By makes a subject of the same body with other rules.
func (s *Subject) By(view *ruleset.View, extra ...measure.Request) *Subject {
	s = &Subject{View: view, Mesh: s.Mesh, Body: s.Body, part: s.part, origin: s.origin, Requests: requestsOf(view.Rules)}
	s.asked = len(s.Requests)
	for _, q := range extra {
		if !slices.ContainsFunc(s.Requests, func(k measure.Request) bool { return keyOf(k) == keyOf(q) }) {
			s.Requests = append(s.Requests, q)
		}
	}
	return s
}

// Verdict is what the rules find on a subject in one pose.
type Verdict struct {
	*Subject
	Results []measure.Result // one for each request
	Hits    []Hit            // in the order of rules and sites, until Unite sorts them
	byKey   map[string]*measure.Result
}

// Judge applies every rule to results, one for each request of the subject and all of one
// pose, and leaves out the hits that yield to others and, until AskUnit and JudgeLater are called, rules over the unit and
// over the support. The verdict keeps them, and hits point into them.
func (s *Subject) Judge(results []measure.Result) (*Verdict, error) {
	v := &Verdict{Subject: s, Results: results, byKey: make(map[string]*measure.Result, len(s.Requests))}
	for i, q := range s.Requests {
		v.byKey[keyOf(q)] = &results[i]
	}
	for _, r := range s.View.Rules {
		if r.Measure == measure.Unit.Name() || AsksLater(r) { // asked by AskUnit, and by JudgeLater
			continue
		}
		judge := v.match
		if r.Per == ruleset.PerModel {
			judge = v.matchWhole
		}
		if err := judge(r); err != nil {
			return nil, err
		}
	}
	v.yield()
	v.carry()
	return v, nil
}

// carry makes notes of what support stands below, where models are meant to be printed with it.
// A piece that nothing ever joins to the rest comes off with its support, and is none.
func (v *Verdict) carry() {
	if !v.View.Supported {
		return
	}
	for i := range v.Hits {
		h := &v.Hits[i]
		if h.Level.Rank() < finding.Note.Rank() && h.Site != nil && slices.ContainsFunc(h.Site.Undersides(), carried) {
			h.Carry()
		}
	}
}

// carried says that support can stand below a place, and that what it carries stays on.
func carried(s measure.Site) bool { return s.Below != nil && s.Below.Area > 0 && !s.Below.Loose }

// result is what was measured for a rule over places.
func (v *Verdict) result(r *ruleset.Rule) *measure.Result {
	return v.byKey[keyOf(requestOf(r.Asks()[0]))]
}

// Result is what a request came out as; nil where the subject did not make it.
func (v *Verdict) Result(q measure.Request) *measure.Result { return v.byKey[keyOf(q)] }

// findingsOf are the findings of hits, rounded as reports carry them. The k-th is of the k-th
// hit, and waived by nothing.
func findingsOf(hits []Hit) []finding.Finding {
	list := make([]finding.Finding, len(hits))
	for i := range hits {
		list[i] = hits[i].Finding
		list[i].Location = rounded(&list[i].Location)
		round(list[i].Values)
		round(list[i].Limits)
	}
	return list
}

// fillingMeasure tells whether the layers of a damaged surface could be filled: where they
// could not, what was measured on them is a guess.
var fillingMeasure = measure.Filling.Name()

// requestsOf lists what the rules need measured, each measure and parameters once, in
// the order of the catalogue. Where a rule judges the layers of the shape, it is also
// asked whether the layers could be filled at all, rule or no rule.
func requestsOf(rules []*ruleset.Rule) []measure.Request {
	var list []measure.Request
	seen := map[string]bool{}
	posed := false
	for _, m := range measure.Catalog() {
		for _, r := range rules {
			for _, a := range r.Asks() {
				q := requestOf(a)
				if a.Measure == m.Name && !seen[keyOf(q)] {
					seen[keyOf(q)] = true
					list = append(list, q)
					posed = posed || !m.PoseFree && m.Name != measure.Size.Name() // which needs no layers
				}
			}
		}
	}
	if filling := measure.Filling.Request(measure.None{}); posed && !seen[keyOf(filling)] {
		list = append(list, filling)
	}
	return list
}

// requestOf asks for what a rule needs.
func requestOf(a ruleset.Ask) measure.Request {
	return measure.Request{Measure: a.Measure, Params: a.Params}
}

func keyOf(q measure.Request) string { return fmt.Sprint(q.Measure, q.Params) }

// match judges the sites of one rule's measure.
func (v *Verdict) match(r *ruleset.Rule) error {
	says, result := r.Says(), v.result(r)
	for i := range result.Sites {
		site := &result.Sites[i]
		holds, err := r.Match(site.Values)
		if err != nil {
			return err
		}
		if holds {
			h := hitOf(r, says, site)
			v.place(&h)
			h.Location.Whole = len(result.Sites) == 1 && ofWhole(r.Measure)
			v.Hits = append(v.Hits, h)
		}
	}
	return nil
}

// hitOf is a rule that holds at a site.
func hitOf(r *ruleset.Rule, says []string, site *measure.Site) Hit {
	return Hit{Site: site, Finding: finding.Finding{
		Rule: r.ID, Level: r.Level,
		Message: r.Message(site.Values), Says: says, Advice: r.Action(site.Values),
		Values: r.Values(site.Values), Limits: r.LimitValues(),
	}}
}

// ofWhole says that a measure takes at its site what it says of the whole model.
func ofWhole(name string) bool {
	m := Definition(name)
	return m != nil && slices.EqualFunc(m.Values, m.Model, func(a, b catalog.Value) bool { return a.Name == b.Name })
}

// place says where the finding of a hit lies: in the file, in space and within the model.
func (s *Subject) place(h *Hit) {
	site := h.Site
	if len(site.Tris) > 0 {
		place := s.Mesh.Source.Of(int(site.Tris[0]))
		h.Line, h.Triangle = place.Line, place.Triangle
		if place.Length > 0 {
			h.Bytes = &finding.Bytes{Offset: place.Offset, Length: place.Length}
		}
	}
	h.At = Point(site.At)
	h.Box = [2][3]float64{Point(site.Box.Min), Point(site.Box.Max)}
	h.Location = s.origin.locate(site.At)
	h.Location.Size = math.Hypot(h.Box[1][0]-h.Box[0][0], h.Box[1][1]-h.Box[0][1]) / 2
}

// Point rounds a place to what a report carries.
func Point(v mesh.Vec) [3]float64 {
	return [3]float64{finding.RoundPlace(v.X), finding.RoundPlace(v.Y), finding.RoundPlace(v.Z)}
}

// Definition finds a measure in the catalogue; nil where none has that name.
func Definition(name string) *catalog.Measure {
	list := measure.Catalog()
	if i := slices.IndexFunc(list, func(m catalog.Measure) bool { return m.Name == name }); i >= 0 {
		return &list[i]
	}
	return nil
}
