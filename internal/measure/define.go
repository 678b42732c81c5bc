package measure

import (
	"fmt"

	"printlint/internal/catalog"
)

// Measure is a named quantity: P are its parameters, S the values of one site and M those
// of the whole model, each a struct whose tags name its values (see layout).
type Measure[P comparable, S, M any] struct {
	def                  catalog.Measure
	params, sites, model *layout
	// needs asks for what the measure needs, before anything is measured; nil where that is
	// nothing that is shared. It must be cheap.
	needs func(*evaluation, P)
	take  func(*evaluation, P) (*found[S, M], error)
	sees  sees // nil where it looks at layer and line alone, or at nothing
}

// seeing says which figures of the process the measure looks at beside layer and line.
func (m *Measure[P, S, M]) seeing(s sees) *Measure[P, S, M] {
	m.sees = s
	return m
}

// None are the parameters of a measure that has none.
type None struct{}

// define makes a measure of its words and of the function that takes it. Values and
// parameters come from the types and are not part of the words.
func define[P comparable, S, M any](words catalog.Measure, needs func(*evaluation, P), take func(*evaluation, P) (*found[S, M], error)) *Measure[P, S, M] {
	m := &Measure[P, S, M]{def: words, params: layoutOf[P](), sites: layoutOf[S](), model: layoutOf[M](), needs: needs, take: take}
	m.def.Params, m.def.Values, m.def.Model = m.params.params(), m.sites.values, m.model.values
	return m
}

// overLayers makes a measure that is taken from the layers. Before they are swept, visit
// adds to the sweep what looks at them; take gets what visit returned when all is seen.
// Requests with the same parameters share one.
func overLayers[P comparable, V, S, M any](words catalog.Measure, visit func(*stack, P) V, take func(*stack, V, P) (*found[S, M], error)) *Measure[P, S, M] {
	m := define[P, S, M](words, nil, nil)
	seen := func(s *stack, p P) V {
		return shared(&s.parts, requestKey[P]{m, p}, func() V { return visit(s, p) })
	}
	m.needs = func(r *evaluation, p P) {
		r.visits = append(r.visits, func(s *stack) { seen(s, p) })
	}
	m.take = func(r *evaluation, p P) (*found[S, M], error) {
		s, err := r.layers()
		if err != nil {
			return nil, err
		}
		own := *s
		own.evaluation = r // the layers may have been cut for another process
		return take(&own, seen(s, p), p)
	}
	return m
}

// found is what a measure found in one model.
type found[S, M any] struct {
	sites  []Site // without their values
	values []S    // one for each site
	model  M
	// undecided says why not all could be taken and what to do, or is empty.
	undecided Undecided
}

// add appends a site, with all its triangles or the most telling of them: the nearest to its
// point is named.
func (f *found[S, M]) add(at Site, values S) {
	f.sites, f.values = append(f.sites, at), append(f.values, values)
}

// requestKey is the key of one measure with its parameters among what is shared.
type requestKey[P comparable] struct {
	of     any
	params P
}

// foundKey is the key of what was found for a request, with what the measure sees of the
// process.
type foundKey[P comparable] struct {
	requestKey[P]
	seen catalog.Process
}

// ask asks for what the measure needs.
func (m *Measure[P, S, M]) ask(r *evaluation, p P) {
	if m.needs != nil {
		m.needs(r, p)
	}
}

// of takes the measure in its own types, once for all who ask with these parameters. A
// measure that needs another's result calls its ask first, and then this.
func (m *Measure[P, S, M]) of(r *evaluation, p P) (*found[S, M], error) {
	known := r.parts
	if m.def.PoseFree {
		known = &r.common // no layer has a part in it
	}
	return once(known, foundKey[P]{requestKey[P]{m, p}, r.seen(m.sees)}, func() (*found[S, M], error) {
		f, err := m.take(r, p)
		if err == nil {
			r.nameTriangles(f.sites)
		}
		return f, err
	})
}

// anyMeasure is a measure without its types, as the registry holds it.
type anyMeasure interface {
	definition() *catalog.Measure
	begin(r *evaluation, params []float64) error
	measure(r *evaluation, params []float64) (Result, error)
}

func (m *Measure[P, S, M]) definition() *catalog.Measure { return &m.def }

// begin asks for what a request needs.
func (m *Measure[P, S, M]) begin(r *evaluation, params []float64) error {
	if n := len(m.params.fields); params != nil && len(params) != n {
		return fmt.Errorf("it has %d parameters, not %d", n, len(params))
	}
	m.ask(r, m.given(params))
	return nil
}

// given are parameters in their own type: the defaults where the list is nil.
func (m *Measure[P, S, M]) given(list []float64) P {
	if list == nil {
		list = m.params.defaults
	}
	return gather[P](m.params, list)
}

// measure takes the measure and lays its values out in the order of the catalogue.
func (m *Measure[P, S, M]) measure(r *evaluation, params []float64) (Result, error) {
	f, err := m.of(r, m.given(params))
	if err != nil {
		return Result{}, err
	}
	out := Result{Sites: f.sites, Model: flatten(nil, m.model, &f.model), Undecided: f.undecided.Words, Cure: f.undecided.Cure}
	n := len(m.sites.fields)
	all := make([]float64, 0, n*len(f.sites))
	for i := range f.sites {
		from := len(all)
		all = flatten(all, m.sites, &f.values[i])
		f.sites[i].Values = all[from:len(all):len(all)]
	}
	return out, nil
}

// Name is what rules and reports call the measure.
func (m *Measure[P, S, M]) Name() string { return m.def.Name }

// Request asks for the measure with parameters.
func (m *Measure[P, S, M]) Request(p P) Request {
	return Request{Measure: m.def.Name, Params: flatten([]float64{}, m.params, &p)}
}

// Params returns the parameters of a request, and whether it asks for this measure at all.
func (m *Measure[P, S, M]) Params(q Request) (p P, ok bool) {
	if q.Measure != m.def.Name {
		return p, false
	}
	return m.given(q.Params), true
}

// Site returns the values of a site of this measure.
func (m *Measure[P, S, M]) Site(s *Site) S { return gather[S](m.sites, s.Values) }

// Model returns the whole-model values of a result of this measure, all 0 where it could
// not be taken.
func (m *Measure[P, S, M]) Model(r *Result) (model M) {
	if r.Model == nil {
		return model
	}
	return gather[M](m.model, r.Model)
}

// First returns the whole-model values of the first request for this measure, all 0 where
// there is none or it could not be taken.
func (m *Measure[P, S, M]) First(requests []Request, results []Result) (model M) {
	for i, q := range requests {
		if q.Measure == m.def.Name {
			return m.Model(&results[i])
		}
	}
	return model
}
