package lint

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/work"
)

// decide makes a model undecided of which something that the rules ask for, the first
// requests of the judgement, could not be measured. What was found on it stays.
func (j *judge) decide(model *finding.Model, g *judgement, asked int) {
	var list []shortfall
	for i, q := range g.requests[:asked] {
		r := &g.taken[i]
		if r.Undecided == "" {
			continue
		}
		k := slices.IndexFunc(list, func(s shortfall) bool { return s.why == r.Undecided })
		if k < 0 {
			k = len(list)
			list = append(list, shortfall{why: r.Undecided, cure: r.Cure})
		}
		if !slices.Contains(list[k].measures, q.Measure) {
			list[k].measures = append(list[k].measures, q.Measure)
		}
	}
	for i := range list {
		undecide(model, list[i].words(j.limit), list[i].cure)
	}
}

// shortfall is a reason why measures could not be taken.
type shortfall struct {
	why, cure string
	measures  []string
}

func (s *shortfall) words(limit fmt.Stringer) string {
	measures := strings.Join(s.measures, ", ")
	switch {
	case s.why == measure.AtLimit:
		return fmt.Sprintf("not judged within the limit of %v of work: %s could not be measured", limit, measures)
	case slices.Equal(s.measures, []string{fillingMeasure}):
		return "inside and outside cannot be told apart: " + s.why
	case slices.Contains(s.measures, fillingMeasure):
		return "its shape cannot be judged: " + s.why
	}
	return fmt.Sprintf("%s could not be measured: %s", measures, s.why)
}

// undecide makes a model undecided, for one reason more.
func undecide(model *finding.Model, why, cure string) {
	if cure != "" {
		why += "; " + cure
	}
	if model.Status == finding.Undecided && model.Reason != "" {
		why = model.Reason + "; " + why
	}
	model.Status, model.Reason = finding.Undecided, why
}

// unfinished is the entry of a model that was not judged at all within its limit.
func (g *engine) unfinished(e entry) entry {
	undecide(&e.Model, fmt.Sprintf("not judged within the limit of %v of work", g.limit), measure.LimitCure)
	return e
}

// ended is the entry of a model whose judging came to an end: by the limit of work, or
// by something that is wrong with it.
func (g *engine) ended(ctx context.Context, e entry, err error) entry {
	if atLimit(ctx) {
		return g.unfinished(e)
	}
	return g.failed(e, err)
}

// atLimit says that the work the model may cost is used up.
func atLimit(ctx context.Context) bool { return errors.Is(work.Of(ctx).Err(), work.ErrLimit) }
