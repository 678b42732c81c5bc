package lint

import (
	"context"
	"fmt"
	"slices"
	"time"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
)

// fillingMeasure tells whether the layers of a damaged surface could be filled: where they
// could not, what was measured on them is a guess.
var fillingMeasure = measure.Filling.Name()

// judge judges models by one configuration.
type judge struct {
	config *ruleset.Config
	advice Advice
	see    func(context.Context, *Seen)
	limit  time.Duration
}

// judgement is one model being judged in one pose.
type judgement struct {
	view     *ruleset.View
	mesh     *mesh.Mesh
	body     *measure.Body
	origin   origin
	requests []measure.Request
	taken    []measure.Result
	results  map[string]measure.Result // by the key of their request
	found    []hit
	findings []finding.Finding // the same for reports, as the model lies
}

// judge takes what the rules ask for and fills in measures, findings and advice.
func (j *judge) judge(ctx context.Context, model *entry, rules string, m *mesh.Mesh, jobs int) error {
	view := j.config.For(rules)
	g := &judgement{view: view, mesh: m, body: measure.NewBody(m), origin: originOf(m), requests: requestsOf(view.Rules)}
	own := len(g.requests)
	if j.advice.Depth != NoAdvice {
		g.requests = withExtra(g.requests)
	}
	var err error
	if g.taken, err = g.body.Measure(ctx, measure.AsIs, view.Process, measure.Options{Jobs: jobs}, g.requests); err != nil {
		return err
	}
	if err := g.judge(); err != nil {
		return err
	}
	if model.Measures, err = modelValues(g.requests[:own], g.taken); err != nil {
		return err
	}
	j.finish(&model.Model, rules, g.found)
	g.findings = model.Findings
	j.decide(&model.Model, g, own)
	if err := j.advise(ctx, &model.Model, rules, g, jobs); err != nil {
		return err
	}
	j.show(ctx, &model.Model, g)
	return nil
}

// judge applies every rule to what was taken.
func (g *judgement) judge() error {
	g.results = make(map[string]measure.Result, len(g.requests))
	for i, q := range g.requests {
		g.results[keyOf(q)] = g.taken[i]
	}
	for _, r := range g.view.Rules {
		if err := g.match(r); err != nil {
			return err
		}
	}
	return nil
}

// finish numbers, sorts and waives the findings of a model.
func (j *judge) finish(model *finding.Model, rules string, found []hit) {
	stamp(model.Part, found)
	sortHits(found)
	for i := range found {
		f := &found[i].Finding
		f.Spot = found[i].known()
		round(f.Values)
		round(f.Limits)
		model.Findings = append(model.Findings, *f)
	}
	j.waive(rules, model)
}

// requestsOf lists what the rules need measured, each measure and parameters once, in
// the order of the catalogue. Where a rule judges the shape as it lies, it is also
// asked whether the layers could be filled at all, rule or no rule.
func requestsOf(rules []*ruleset.Rule) []measure.Request {
	var list []measure.Request
	seen := map[string]bool{}
	posed := false
	for _, m := range measure.Catalog() {
		for _, r := range rules {
			q := measure.Request{Measure: r.Measure, Params: r.Params()}
			if r.Measure == m.Name && !seen[keyOf(q)] {
				seen[keyOf(q)] = true
				list = append(list, q)
				posed = posed || !m.PoseFree
			}
		}
	}
	if filling := measure.Filling.Request(measure.None{}); posed && !seen[keyOf(filling)] {
		list = append(list, filling)
	}
	return list
}

func keyOf(q measure.Request) string { return fmt.Sprint(q.Measure, q.Params) }

// match judges the sites of one rule's measure.
func (g *judgement) match(r *ruleset.Rule) error {
	result := g.results[keyOf(measure.Request{Measure: r.Measure, Params: r.Params()})]
	for i := range result.Sites {
		site := &result.Sites[i]
		holds, err := r.Match(site.Values)
		if err != nil {
			return err
		}
		if holds {
			g.add(site, finding.Finding{
				Rule: r.ID, Level: r.Level,
				Message: r.Message(site.Values), Advice: r.Action(site.Values),
				Values: r.Values(site.Values), Limits: r.LimitValues(),
			})
			g.found[len(g.found)-1].whole = len(result.Sites) == 1 && ofWhole(r.Measure)
		}
	}
	return nil
}

// ofWhole says that a measure takes at its site what it says of the whole model.
func ofWhole(name string) bool {
	m := definition(name)
	return m != nil && slices.EqualFunc(m.Values, m.Model, func(a, b catalog.Value) bool { return a.Name == b.Name })
}

// add places a finding at its site.
func (g *judgement) add(site *measure.Site, f finding.Finding) {
	if len(site.Tris) > 0 {
		place := g.mesh.Source.Of(int(site.Tris[0]))
		f.Line, f.Triangle = place.Line, place.Triangle
		if place.Length > 0 {
			f.Bytes = &finding.Bytes{Offset: place.Offset, Length: place.Length}
		}
	}
	f.At = point(site.At)
	f.Box = [2][3]float64{point(site.Box.Min), point(site.Box.Max)}
	g.found = append(g.found, hit{Finding: f, spot: g.origin.spot(site.At), site: site})
}

// point rounds a place to what a report carries.
func point(v mesh.Vec) [3]float64 {
	return [3]float64{finding.RoundPlace(v.X), finding.RoundPlace(v.Y), finding.RoundPlace(v.Z)}
}
