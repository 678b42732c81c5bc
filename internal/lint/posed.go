package lint

import (
	"context"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/support"
	"printlint/internal/work"
)

// coarseCells is how many times larger a cell and a layer are for a coarse look.
const (
	coarseCells  = 4
	coarseLayers = 2
)

// extra is what advice needs measured beside what the rules ask for.
var extra = []measure.Request{
	measure.Base.Request(measure.None{}),
	measure.Stability.Request(measure.None{}),
	measure.Column.Request(measure.ColumnParams{Width: pose.PinWidth}),
}

// lieMeasures are the measures that turning a model changes most. A coarse look takes
// only these.
var lieMeasures = []string{measure.Base.Name(), measure.Overhang.Name(), measure.Bridge.Name(),
	measure.Island.Name(), measure.Size.Name(), measure.Filling.Name()}

// poser judges one model in many poses.
type poser struct {
	judge *judge
	rules string // path that rules are written against
	part  string
	lying *judgement // as it lies, with every request of the rules taken
	jobs  int
	cut   bool // not every way up was looked at
}

// posed is one model judged in one pose.
type posed struct {
	*judgement
	down  mesh.Vec
	place mesh.Placement
	hits  []hit // not waived, of a level above none
	sites []support.Site
	total support.Total
}

// at judges the model with down at the bed. What does not change when the model is
// turned is taken over from the model as it lies.
func (p *poser) at(ctx context.Context, down mesh.Vec, coarse bool) (*posed, error) {
	l := p.lying
	g := &judgement{view: l.view, mesh: l.mesh, body: l.body, origin: l.origin, requests: slices.Clone(l.requests)}
	process, opt := l.view.Process, measure.Options{Jobs: p.jobs}
	if coarse {
		process.Layer *= coarseLayers
		opt.Cell = coarseCells * min(process.Line/4, 0.1)
	}
	matrix := MatrixTo(down)
	if err := p.take(ctx, g, measure.Pose{M: matrix}, process, opt, coarse); err != nil {
		return nil, err
	}
	if err := g.judge(); err != nil {
		return nil, err
	}
	out := &posed{judgement: g, down: down}
	_, out.place = l.mesh.Posed(matrix)
	if err := p.weigh(ctx, out); err != nil {
		return nil, err
	}
	return out, nil
}

// withExtra adds what advice needs to what the rules ask for.
func withExtra(requests []measure.Request) []measure.Request {
	for _, q := range extra {
		if !slices.ContainsFunc(requests, func(k measure.Request) bool { return keyOf(k) == keyOf(q) }) {
			requests = append(requests, q)
		}
	}
	return requests
}

func definition(name string) *catalog.Measure {
	list := measure.Catalog()
	if i := slices.IndexFunc(list, func(m catalog.Measure) bool { return m.Name == name }); i >= 0 {
		return &list[i]
	}
	return nil
}

// take measures what changes with the pose and takes over the rest.
func (p *poser) take(ctx context.Context, g *judgement, to measure.Pose, process catalog.Process, opt measure.Options, coarse bool) error {
	g.taken = make([]measure.Result, len(g.requests))
	var ask []measure.Request
	var into []int
	for i, q := range g.requests {
		same := definition(q.Measure).PoseFree || coarse && !slices.Contains(lieMeasures, q.Measure)
		if same || !coarse && to == measure.AsIs {
			g.taken[i] = p.lying.taken[i]
			continue
		}
		ask, into = append(ask, q), append(into, i)
	}
	results, err := g.body.Measure(ctx, to, process, opt, ask)
	if err == nil && len(ask) > 0 && atLimit(ctx) {
		err = work.ErrLimit
	}
	if err != nil {
		return err
	}
	for k, i := range into {
		g.taken[i] = results[k]
	}
	return nil
}

// What planning support costs in work, about: two places held against each other, and a
// site looked at from all sides.
const (
	pairCost = 20
	siteCost = 40_000
)

// weigh keeps the findings that count and plans support for those that need it.
func (p *poser) weigh(ctx context.Context, out *posed) error {
	lies := MatrixTo(out.down) == measure.AsIs.M
	var places []support.Place
	for i := range out.found {
		h := out.found[i]
		waived := p.judge.config.Waiver(p.rules, p.part, h.Rule, h.Box) != nil
		if h.Level == finding.None || waived || lies && p.accepted(&h) {
			continue
		}
		out.hits = append(out.hits, h)
		if h.Level == finding.Error && h.site.Below != nil && h.site.Below.Area > 0 {
			places = append(places, support.Place{At: h.site.At, Below: *h.site.Below})
		}
	}
	if slices.ContainsFunc(out.taken, func(r measure.Result) bool { return r.Undecided != "" }) {
		// Nobody is told to turn a model to where it cannot be judged.
		out.hits = append(out.hits, hit{Finding: finding.Finding{Rule: finding.RuleUndecided, Level: finding.Error}})
	}
	if err := work.Of(ctx).Spend(pairCost * int64(len(places)) * int64(len(places))); err != nil {
		return err
	}
	out.sites = support.Plan(places, out.view.Process)
	out.total = support.Sum(out.sites, out.view.Process)
	return nil
}

// verdict is what the search ranks by.
func (out *posed) verdict() pose.Verdict {
	c := out.count()
	return pose.Verdict{
		Errors: c.Error, Warnings: c.Warning, Notes: c.Note,
		Support: out.total.Volume, Scars: out.total.Contact, Base: measure.Base.First(out.requests, out.taken).Flat,
		Detail: out,
	}
}

func (out *posed) count() (c finding.LevelCount) {
	for i := range out.hits {
		switch out.hits[i].Level {
		case finding.Error:
			c.Error++
		case finding.Warning:
			c.Warning++
		case finding.Note:
			c.Note++
		}
	}
	return c
}
