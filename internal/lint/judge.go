package lint

import (
	"context"
	"fmt"
	"slices"
	"time"

	"printlint/internal/advise"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// judge judges models by one configuration.
type judge struct {
	usage    *ruleset.Usage
	advice   advise.Options
	observer Observer
	limit    time.Duration // for words; the context holds the model to it
	figures  bool          // that a comparison tells of are taken too
}

// judge takes what the rules ask for and fills in measures, findings and advice. The path is
// the one that rules are written against.
func (j *judge) judge(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) error {
	model := &e.Model
	var extra []measure.Request
	if j.advice.Depth != advise.None && len(m.Tris) > 0 {
		extra = advise.Extra
	}
	view := j.usage.For(path)
	if j.figures {
		extra = append(slices.Clip(extra), figureRequests(view)...)
	}
	s := verdict.New(m, model.Part, view, extra...)
	s.Body.File = e.file
	results, err := s.Body.Measure(ctx, measure.AsIs, s.View.Process, measure.Options{Jobs: jobs}, s.Requests)
	if err != nil {
		return err
	}
	v, err := s.Judge(results)
	if err != nil {
		return err
	}
	if err := v.AskUnit(ctx, measure.Options{Jobs: jobs}); err != nil {
		return err
	}
	if model.Measures, err = v.Measures(); err != nil {
		return err
	}
	model.Findings = v.Findings()
	j.waive(path, model)
	if j.figures {
		model.Figures = figuresOf(v, model)
	}
	for _, u := range v.Undecided(j.limit) {
		model.Undecide(u.Why, u.Cure)
	}
	q := &advise.Question{
		Options: j.advice, AsItLies: v, Findings: model.Findings, Config: j.usage.Config, Path: path, Part: model.Part, Jobs: jobs,
	}
	if model.Status != finding.Undecided && q.Asked() {
		if err := j.advise(ctx, model, q); err != nil {
			return err
		}
	}
	return j.show(ctx, model, v)
}

// advise looks for other ways up. A short look is only an aside: what was found stands,
// whatever becomes of it, and half a search is told of as what it is, without its result,
// since which way up is best depends on those that were not looked at.
func (j *judge) advise(ctx context.Context, model *finding.Model, q *advise.Question) (err error) {
	if j.advice.Depth == advise.Short {
		defer func() {
			if caught := recover(); caught != nil {
				err = Crashed(caught)
			}
			if err != nil {
				model.Notes, err = append(model.Notes, "other ways up were not looked for: "+err.Error()), nil
			}
		}()
	}
	advice, err := q.Answer(ctx)
	cut := fmt.Sprintf("the search for other ways up was cut short by the limit of %v of work", j.limit)
	switch {
	case err == nil:
		model.Advice = advice
		return nil
	case !atLimit(ctx):
		return err
	case j.advice.Depth == advise.Short:
		model.Notes = append(model.Notes, cut)
	default:
		model.Advice = advice
		model.Undecide(cut, measure.LimitCure)
	}
	return nil
}

// Unit is the mm of one unit of a file that names none, by its path for the rules.
func Unit(config *ruleset.Config, rules string) float64 {
	return config.For(rules).Unit.Factor
}
