package lint

import (
	"context"
	"fmt"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
)

// Advice says for which models to look for other ways up, and how far.
type Advice struct {
	// Depth is how far to look.
	Depth Depth
	// Down, when not nil, is the one way up to judge beside the model as it lies.
	Down *mesh.Vec
	// Each, when not nil, is called with every model and its advice, from several
	// goroutines. Its error makes the model unreadable.
	Each func(model *finding.Model, m *mesh.Mesh) error
}

// Depth is how far to look for other ways up.
type Depth int

// How far to look.
const (
	NoAdvice    Depth = iota
	ShortAdvice       // for models with findings that another way up may change
	FullAdvice        // for every model
)

// The cost of advice: how many ways up get a coarse look, how many of them a full one.
// A coarse look costs about an eighth of a full one, as the gate takes it.
var (
	shortLook = pose.Options{Screen: 12, Judge: 2}
	fullLook  = pose.Options{Screen: 16, Judge: 3}
)

// shownPoses is how many ways up are told of, as it lies among them.
const shownPoses = 4

// advise looks for other ways up where that is asked for.
func (j *judge) advise(ctx context.Context, model *finding.Model, rules string, lying *judgement, jobs int) error {
	p := &poser{judge: j, rules: rules, part: model.Part, lying: lying, jobs: jobs}
	switch a := &j.advice; {
	case a.Depth == NoAdvice || model.Status == finding.Undecided || a.Depth == ShortAdvice && !turnable(lying, model):
		return nil
	case a.Depth == ShortAdvice:
		if err := p.aside(ctx, model); err != nil {
			// What was found stands, whatever becomes of the advice.
			model.Notes = append(model.Notes, err.Error())
		}
		return nil
	}
	if err := p.advise(ctx, model); err != nil {
		if !atLimit(ctx) {
			return err
		}
		undecide(model, p.cutShort().Error(), measure.LimitCure)
		return nil
	}
	if each := j.advice.Each; each != nil {
		return each(model, lying.mesh)
	}
	return nil
}

// aside advises, and makes an error of whatever goes wrong. Half a search is told of as
// what it is, and its result is left out: which way up is best depends on those unseen.
func (p *poser) aside(ctx context.Context, model *finding.Model) (err error) {
	defer func() {
		if caught := recover(); caught != nil {
			err = fmt.Errorf("other ways up were not looked for: %w", crashed(caught))
		}
	}()
	switch err = p.advise(ctx, model); {
	case err == nil:
		return nil
	case atLimit(ctx):
		model.Advice = nil
		return p.cutShort()
	}
	return fmt.Errorf("other ways up were not looked for: %w", err)
}

// cutShort words a search that came to the limit.
func (p *poser) cutShort() error {
	return fmt.Errorf("the search for other ways up was cut short by the limit of %v of work", p.judge.limit)
}

// advise searches, or judges the one way up that was asked for, and tells of it. Where
// the search is cut short it tells of what was judged until then, with the error.
func (p *poser) advise(ctx context.Context, model *finding.Model) error {
	best, err := p.best(ctx)
	lies := func(j pose.Judged) bool { return j.Kind == pose.AsItLies }
	if err != nil && !(atLimit(ctx) && slices.ContainsFunc(best, lies)) {
		return err
	}
	p.cut = err != nil
	advice, told := p.advice(ctx, best)
	if told != nil {
		return told
	}
	if model.Advice = advice; err != nil {
		advice.Words = "the search was cut short; so far, " + advice.Words
	}
	return err
}

// turnable says that a model has a finding which another way up may change.
func turnable(g *judgement, model *finding.Model) bool {
	for i := range model.Findings {
		f := &model.Findings[i]
		if f.Waived != nil || f.Level.Rank() > finding.Warning.Rank() {
			continue
		}
		if k := slices.IndexFunc(g.view.Rules, func(r *ruleset.Rule) bool { return r.ID == f.Rule }); k >= 0 {
			if m := definition(g.view.Rules[k].Measure); m != nil && !m.PoseFree {
				return true
			}
		}
	}
	return false
}

// best searches, or judges the one way up that was asked for.
func (p *poser) best(ctx context.Context) ([]pose.Judged, error) {
	judge := func(ctx context.Context, down mesh.Vec, coarse bool) (pose.Verdict, error) {
		out, err := p.at(ctx, down, coarse)
		if err != nil {
			return pose.Verdict{}, err
		}
		return out.verdict(), nil
	}
	a := &p.judge.advice
	opt := shortLook
	if a.Depth == FullAdvice {
		opt = fullLook
	}
	opt.Lean = hangsFrom(p.lying.view.Rules)
	if a.Down != nil {
		return pose.Given(ctx, p.lying.mesh, *a.Down, judge, opt)
	}
	return pose.Best(ctx, p.lying.mesh, judge, opt)
}

// hangsFrom is the lean from which the rules that fail a model let an underside hang.
func hangsFrom(rules []*ruleset.Rule) float64 {
	lean := 90.0
	for _, r := range rules {
		if p, ok := measure.Overhang.Params(measure.Request{Measure: r.Measure, Params: r.Params()}); ok && r.Level == finding.Error {
			lean = min(lean, p.Angle)
		}
	}
	if lean == 90 {
		return 45
	}
	return lean
}

// Unit is the mm of one unit of a file that names none, by its path for the rules.
func Unit(config *ruleset.Config, rules string) float64 {
	unit, _ := catalog.Spelled(config.For(rules).Unit)
	return unit.Factor
}
