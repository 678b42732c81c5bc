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
	asked   []Request  // with the defaults filled in
	leans   []float64  // from which cells hang, as asked by any request
	reaches []float64  // up to which no bridge is needed, likewise, rising
	stack   *stack     // swept when first needed
	failed  error      // why it could not be
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
		params := q.Params
		if params == nil {
			params = defaults(s)
		}
		var err error
		if results[i], err = tooMuch(s.run(r, params)); err != nil {
			return nil, fmt.Errorf("measure %s: %w", q.Measure, err)
		}
		results[i].ownTriangles(b.whole)
	}
	return results, nil
}

// tooMuch makes a measure that would cost too much undecided, in the words around
// work.ErrTooMuch. The others can still be taken.
func tooMuch(out Result, err error) (Result, error) {
	if errors.Is(err, work.ErrTooMuch) {
		return Result{Undecided: strings.TrimSuffix(err.Error(), ": "+work.ErrTooMuch.Error())}, nil
	}
	return out, err
}

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
