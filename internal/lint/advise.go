package lint

import (
	"context"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
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
// A coarse look costs about an eighth of a full one.
var (
	shortLook = pose.Options{Screen: 12, Judge: 2}
	fullLook  = pose.Options{Screen: 24, Judge: 5}
)

// shownPoses is how many ways up are told of, as it lies among them.
const shownPoses = 4

// advise looks for other ways up where that is asked for.
func (j *judge) advise(ctx context.Context, model *finding.Model, rules string, lying *judgement, jobs int) error {
	a := &j.advice
	if a.Depth == NoAdvice || a.Depth == ShortAdvice && !turnable(lying, model) {
		return nil
	}
	p := &poser{judge: j, rules: rules, part: model.Part, lying: lying, jobs: jobs}
	best, err := p.best(ctx)
	if err != nil {
		return err
	}
	if model.Advice, err = p.advice(best); err != nil {
		return err
	}
	if a.Each != nil {
		return a.Each(model, lying.mesh)
	}
	return nil
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
		if r.Measure == "overhang" && r.Level == finding.Error && len(r.Params()) > 0 {
			lean = min(lean, r.Params()[0])
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
