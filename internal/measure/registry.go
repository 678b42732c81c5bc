package measure

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/work"
)

// spec ties a definition to the code that computes it.
type spec struct {
	def catalog.Measure
	run func(*run, []float64) (Result, error)
}

// specs is every measure, in the order of reports.
var specs = []spec{sizeSpec, healthSpec, wallSpec, gapSpec, baseSpec, overhangSpec, bridgeSpec, islandSpec, stabilitySpec, columnSpec, cavitySpec, fillingSpec}

// run is one call of Body.Measure: the body, one pose, and what was asked.
type run struct {
	ctx     context.Context
	body    *Body
	pose    Pose
	process catalog.Process
	opt     Options
	asked   []Request // with the defaults filled in
	leans   []float64 // from which cells hang, as asked by any request
	reaches []float64 // up to which no bridge is needed, likewise, rising
	stack   once[*stack]
	widest  [2]float64 // the largest limit asked of each kind of thin place
}

// wants lists the parameters of every request for a measure; none where nobody asked.
func (r *run) wants(name string) [][]float64 {
	var list [][]float64
	for _, q := range r.asked {
		if q.Measure == name {
			list = append(list, q.Params)
		}
	}
	return list
}

// complete gives requests without parameters the defaults.
func complete(requests []Request) []Request {
	list := append([]Request(nil), requests...)
	for i := range list {
		if s := find(list[i].Measure); s != nil && list[i].Params == nil {
			list[i].Params = defaults(s)
		}
	}
	return list
}

// cache keeps what does not change with the pose.
type cache struct{ shape }

// Measure takes the requested measures of the body in one pose. The results are in
// the order of the requests. It returns the context's error when that ends first.
//
// Where the limit of work that the context carries is used up, the measure under way and
// those after it are undecided, and those before it stand: the caller asks the meter
// whether that was so. What is too much for one measure leaves only that one undecided.
func (b *Body) Measure(ctx context.Context, pose Pose, process catalog.Process, opt Options, requests []Request) ([]Result, error) {
	r := &run{ctx: ctx, body: b, pose: pose, process: process, opt: opt, widest: widestLimits(requests), asked: complete(requests)}
	r.leans, r.reaches = r.param("angle"), r.param("reach")
	results := make([]Result, len(requests))
	for i, q := range requests {
		s := find(q.Measure)
		if s == nil {
			return nil, fmt.Errorf("no measure is called %q", q.Measure)
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		var err error
		if results[i], err = r.take(s, q.Params); err != nil {
			return nil, fmt.Errorf("measure %s: %w", q.Measure, err)
		}
		results[i].ownTriangles(b.whole.value)
	}
	return results, nil
}

// once keeps what was made when it was first asked for, and why it could not be made.
type once[T any] struct {
	asked bool
	value T
	err   error
}

func (o *once[T]) get(make func() (T, error)) (T, error) {
	if !o.asked {
		o.value, o.err = make()
		o.asked = true
	}
	return o.value, o.err
}

// take runs one measure, unless no work is left.
func (r *run) take(s *spec, params []float64) (Result, error) {
	if params == nil {
		params = defaults(s)
	}
	meter := work.Of(r.ctx)
	err := meter.Err()
	var out Result
	if err == nil {
		out, err = s.run(r, params)
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
const tooMuchCure = "join bodies that lie over each other, take out what is not meant to be printed, and save the model with fewer triangles"

func find(name string) *spec {
	for i := range specs {
		if specs[i].def.Name == name {
			return &specs[i]
		}
	}
	return nil
}

func defaults(s *spec) []float64 {
	params := make([]float64, len(s.def.Params))
	for i, p := range s.def.Params {
		params[i] = p.Default
	}
	return params
}

// param lists the values of one parameter over all requests, rising, each once.
func (r *run) param(name string) []float64 {
	var list []float64
	for _, q := range r.asked {
		s := find(q.Measure)
		if s == nil {
			continue
		}
		for i, p := range s.def.Params {
			if p.Name == name {
				list = append(list, q.Params[i])
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}
