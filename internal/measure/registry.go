package measure

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/work"
)

// registry is every measure, in the order of reports.
var registry = []anyMeasure{Size, Unit, Mesh, Wall, Gap, Hole, Detail, Base, Feet, Overhang, Bridge, Rim, Island, Fragment, Stability, Column, Cavity, Print, Filling, Position, File}

// evaluation is what is measured for one process.
type evaluation struct {
	*laid
	process catalog.Process
	fits    lazy[struct{}]
}

// Measure takes the requested measures of the body in one pose. The results are in
// the order of the requests. It returns the context's error when that ends first.
//
// Where the limit of work that the context carries is used up, the measure under way and
// those after it are undecided, and those before it stand: the caller asks the meter
// whether that was so. What is too much for one measure leaves only that one undecided.
func (b *Body) Measure(ctx context.Context, pose Pose, process catalog.Process, opt Options, requests []Request) ([]Result, error) {
	all, err := b.MeasureAll(ctx, pose, opt, []Asked{{process, requests}})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// begin asks for what the requests need.
func (r *evaluation) begin(requests []Request) error {
	for _, q := range requests {
		e := find(q.Measure)
		if e == nil {
			return fmt.Errorf("no measure is called %q", q.Measure)
		}
		if err := e.begin(r, q.Params); err != nil {
			return fmt.Errorf("measure %s: %w", q.Measure, err)
		}
	}
	return nil
}

// take takes the requested measures.
func (r *evaluation) take(requests []Request) ([]Result, error) {
	results := make([]Result, len(requests))
	for i, q := range requests {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		var err error
		results[i], err = r.decide(func() (Result, error) { return find(q.Measure).measure(r, q.Params) })
		if err != nil {
			return nil, fmt.Errorf("measure %s: %w", q.Measure, err)
		}
	}
	return results, nil
}

// decide takes one measure, unless no work is left, and tells errors that leave only this
// measure undecided from those that end the run.
func (r *evaluation) decide(take func() (Result, error)) (Result, error) {
	meter := work.Of(r.ctx)
	err := meter.Err()
	var out Result
	if err == nil {
		out, err = take()
	}
	if ended := meter.Err(); ended != nil {
		err = ended // whatever came out was cut short
	}
	var undecided *Undecided
	switch {
	case err == nil:
		return out, nil
	case errors.Is(err, work.ErrLimit):
		return Result{Undecided: AtLimit, Cure: LimitCure}, nil
	case errors.As(err, &undecided):
		return Result{Undecided: undecided.Words, Cure: undecided.Cure}, nil
	case errors.Is(err, work.ErrTooMuch):
		return Result{Undecided: strings.TrimSuffix(err.Error(), ": "+work.ErrTooMuch.Error()), Cure: tooMuchCure}, nil
	}
	return Result{}, err
}

// AtLimit and LimitCure are the words for what the limit of work left undecided.
const (
	AtLimit   = "the limit of work was used up"
	LimitCure = "raise --time-limit, or save the model with fewer triangles"
)

// tooMuchCure is what to do about a model of which a measure would cost too much.
const tooMuchCure = "join bodies that lie over each other, take out what you do not want to print, and save the model with fewer triangles"

// mostSites bounds the sites of a measure that says so: nobody reads that many, and a
// report of them is as large as the model.
const mostSites = 10_000

// tooMany is the error of a measure that found more than that.
func tooMany(what string) error {
	return fmt.Errorf("more than %d %s: %w", mostSites, what, work.ErrTooMuch)
}

// find returns the measure of a name, or nil.
func find(name string) anyMeasure {
	for _, e := range registry {
		if e.definition().Name == name {
			return e
		}
	}
	return nil
}
