package advise

import (
	"context"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/support"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// coarseCells is how many times larger a cell and a layer are for a coarse look.
const (
	coarseCells  = 4
	coarseLayers = 2
)

// Extra is what advice needs measured beside what the rules ask for.
var Extra = []measure.Request{
	measure.Base.Request(measure.None{}),
	measure.Stability.Request(measure.None{}),
	measure.Column.Request(measure.ColumnParams{Width: pose.PinWidth}),
}

// coarseMeasures are the measures that turning a model changes most. A coarse look takes
// only these.
var coarseMeasures = []string{
	measure.Base.Name(), measure.Feet.Name(), measure.Overhang.Name(), measure.Bridge.Name(),
	measure.Island.Name(), measure.Size.Name(), measure.Filling.Name(), measure.Stability.Name(),
}

// outcome is what the rules find on a model in one pose, and the support that it needs.
type outcome struct {
	figures
	*verdict.Verdict // with all below nil after a coarse look, of which only the figures stay
	place            mesh.Placement
	hits             []verdict.Hit // those that count: not waived, of a level above none
	structures       []support.Structure
	total            support.Total
	leftOver         int             // errors that the support does not cure
	cured            map[string]bool // rules whose errors the support cures; looked up only
}

// at judges the model with down at the bed. What does not change when the model is
// turned is taken over from the model as it lies.
func (q *Question) at(ctx context.Context, down mesh.Vec, coarse bool) (*outcome, error) {
	process, opt := q.AsItLies.View.Process, measure.Options{Jobs: q.Jobs}
	if coarse {
		process.Layer *= coarseLayers
		opt.Cell = coarseCells * min(process.Line/4, 0.1)
	}
	to := measure.Pose{M: pose.MatrixTo(down)}
	results, err := q.measure(ctx, to, process, opt, coarse)
	if err != nil {
		return nil, err
	}
	v, err := q.AsItLies.Judge(results)
	if err != nil {
		return nil, err
	}
	out := &outcome{Verdict: v}
	_, out.place = v.Mesh.Posed(to.M)
	if err := q.weigh(ctx, out, to == measure.AsIs); err != nil {
		return nil, err
	}
	return out, nil
}

// measure measures what changes with the pose and takes over the rest.
func (q *Question) measure(ctx context.Context, to measure.Pose, process catalog.Process, opt measure.Options, coarse bool) ([]measure.Result, error) {
	all := make([]measure.Result, len(q.AsItLies.Requests))
	var ask []measure.Request
	var into []int
	for i, r := range q.AsItLies.Requests {
		same := verdict.Definition(r.Measure).PoseFree || coarse && !slices.Contains(coarseMeasures, r.Measure)
		if same || !coarse && to == measure.AsIs {
			all[i] = q.AsItLies.Results[i]
			continue
		}
		ask, into = append(ask, r), append(into, i)
	}
	results, err := q.AsItLies.Body.Measure(ctx, to, process, opt, ask)
	if err == nil && len(ask) > 0 {
		err = work.Of(ctx).Err()
	}
	if err != nil {
		return nil, err
	}
	for k, i := range into {
		all[i] = results[k]
	}
	return all, nil
}

// What planning support costs in work, about: two places held against each other, and a
// site looked at from all sides.
const (
	pairCost = 20
	siteCost = 40_000
)

// weigh picks the hits that count and plans support for those that need it.
func (q *Question) weigh(ctx context.Context, out *outcome, asItLies bool) error {
	q.count(out, out.Hits, asItLies)
	if slices.ContainsFunc(out.Results, func(r measure.Result) bool { return r.Undecided != "" }) {
		// Nobody is told to turn a model to where it cannot be judged.
		out.hits = append(out.hits, verdict.Hit{Finding: finding.Finding{Rule: finding.RuleUndecided, Level: finding.Error}})
	}
	var err error
	if out.structures, out.total, err = planned(ctx, out.Verdict, out.hits); err != nil {
		return err
	}
	if known := len(out.Hits); slices.ContainsFunc(out.View.Rules, verdict.AsksLater) {
		if err := out.JudgeLater(support.Whole(out.structures, out.total)); err != nil {
			return err
		}
		q.count(out, out.Hits[known:], asItLies)
	}
	c := out.count()
	out.figures = figures{
		Errors: c.Error, Warnings: c.Warning, Notes: c.Note,
		Unfit:   out.unfit(),
		Minutes: out.total.Minutes, Scars: out.total.Contact, Base: measure.Base.First(out.Requests, out.Results).Flat,
	}
	out.countRules()
	return nil
}

// Held lists the hits of the verdict, by their place in it, that are errors or warnings of how
// the model stands, and that the support which is planned for it ends.
func (q *Question) Held(ctx context.Context) (list []int, err error) {
	out := &outcome{Verdict: q.AsItLies}
	if err := q.weigh(ctx, out, true); err != nil || len(out.structures) == 0 {
		return nil, err
	}
	for i := range q.AsItLies.Hits {
		h := &q.AsItLies.Hits[i]
		if h.Level.Rank() < finding.Note.Rank() && out.held(h, out.measureOf(h.Rule)) {
			list = append(list, i)
		}
	}
	return list, nil
}

// count takes up the hits that count.
func (q *Question) count(out *outcome, hits []verdict.Hit, asItLies bool) {
	for _, h := range hits {
		waived := q.Config.Waiver(q.Path, q.Part, h.Rule, h.Box) != nil
		if h.Level != finding.None && !waived && !(asItLies && q.accepted(&h)) {
			out.hits = append(out.hits, h)
		}
	}
}

// planned plans support for the hits that need it.
func planned(ctx context.Context, v *verdict.Verdict, hits []verdict.Hit) ([]support.Structure, support.Total, error) {
	var places []support.Underside
	for i := range hits {
		if h := &hits[i]; (h.Level == finding.Error || h.Carried) && h.Site != nil {
			list := undersides(h.Site)
			if !slices.ContainsFunc(list, support.Large) {
				for k := range list {
					list[k].Alone = true
				}
			}
			places = append(places, list...)
		}
	}
	if err := work.Of(ctx).Spend(pairCost * int64(len(places)) * int64(len(places))); err != nil {
		return nil, support.Total{}, err
	}
	plan := support.Plan(places, v.View.Process)
	return plan, support.Sum(plan, v.View.Process), nil
}

// Catalog is every measure that a rule can name: those of the mesh and the file, and support.
func Catalog() []catalog.Measure {
	return append(slices.Clone(measure.Catalog()), support.Definition)
}

// JudgeSupport holds the rules over the support to their condition, where there are any. Of
// the model as it lies, what a waiver accepts needs no support.
func JudgeSupport(ctx context.Context, v *verdict.Verdict, waived func(h *verdict.Hit) bool) error {
	if !slices.ContainsFunc(v.View.Rules, verdict.AsksLater) {
		return nil
	}
	hits := slices.DeleteFunc(slices.Clone(v.Hits), func(h verdict.Hit) bool { return waived(&h) })
	plan, total, err := planned(ctx, v, hits)
	if err != nil {
		return err
	}
	return v.JudgeLater(support.Whole(plan, total))
}

// undersides are the places of a site below which support can stand.
func undersides(s *measure.Site) (list []support.Underside) {
	for _, k := range s.Undersides() {
		if k.Below.Area > 0 {
			list = append(list, support.Underside{At: k.At, Below: *k.Below})
		}
	}
	return list
}

// unfit says that the model cannot be printed so: it does not fit, or cannot be judged.
func (out *outcome) unfit() bool {
	return slices.ContainsFunc(out.hits, func(h verdict.Hit) bool {
		return h.Level == finding.Error && (h.Rule == finding.RuleUndecided || out.measureOf(h.Rule) == measure.Size.Name())
	})
}

// measureOf names the measure of a rule, or nothing.
func (out *outcome) measureOf(rule string) string {
	for _, r := range out.View.Rules {
		if r.ID == rule {
			return r.Measure
		}
	}
	return ""
}

// countRules counts rules by what support does for them, each once, and says what is at
// stake where only support keeps it standing, or a rule warns of how it stands.
func (out *outcome) countRules() {
	kinds := map[string]int{} // by rule: 1 warned, 2 carried by support, 3 left with it
	var foot, stand float64   // shares of the print at stake
	for i := range out.hits {
		h, kind := &out.hits[i], 0
		of := out.measureOf(h.Rule)
		held := out.held(h, of)
		var below []support.Underside // support stands there
		if h.Site != nil {
			below = undersides(h.Site)
		}
		shaky := h.Site != nil && of == measure.Stability.Name()
		falls := shaky && measure.Stability.Site(h.Site).Tip <= 0
		switch {
		case h.Level == finding.Error && (held || len(below) > 0):
			kind = 2
			switch of {
			case measure.Base.Name():
				foot = balancing
			case measure.Stability.Name():
				stand = max(stand, heldUp)
			}
		case h.Level == finding.Error:
			kind = 3
			out.leftOver++
			out.Falls = out.Falls || falls && !held
		case h.Level == finding.Warning:
			kind = 1
			switch {
			case falls && held:
				stand = max(stand, heldUp)
			case falls:
				stand = clinging
			case shaky && !held:
				stand = max(stand, unsteady)
			}
			if of == measure.Base.Name() {
				foot = max(foot, smallFoot)
			}
			for _, b := range below {
				out.Rough += b.Below.Area
			}
		}
		kinds[h.Rule] = max(kinds[h.Rule], kind)
	}
	if foot+stand > 0 {
		process := out.View.Process
		out.Risk = (foot + stand) * support.Minutes(support.Plastic(math.Abs(out.Mesh.Volume()), out.Mesh.Area(), process), process)
	}
	out.cured = map[string]bool{}
	for rule, kind := range kinds {
		switch kind {
		case 1:
			out.Warned++
		case 2:
			out.Carried++
			out.cured[rule] = true
		case 3:
			out.Uncured++
		}
	}
}

// accepted says that a finding on the model as it lies was accepted as it was. In
// another pose it stands elsewhere and is another.
func (q *Question) accepted(h *verdict.Hit) bool {
	for i := range q.Findings {
		if f := &q.Findings[i]; f.Waived != nil && f.Rule == h.Rule && f.At == h.At && f.Box == h.Box {
			return true
		}
	}
	return false
}

// count counts the hits by level.
func (out *outcome) count() (c finding.LevelCount) {
	for i := range out.hits {
		c.Add(out.hits[i].Level)
	}
	return c
}
