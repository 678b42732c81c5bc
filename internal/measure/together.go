package measure

import (
	"context"

	"printlint/internal/catalog"
)

// Asked is what is measured for one process.
type Asked struct {
	Process  catalog.Process
	Requests []Request
}

// call is one call of Body.MeasureAll: the body, one pose, and what is shared there.
type call struct {
	ctx    context.Context
	body   *Body
	pose   Pose
	opt    Options
	common store // what all processes share
}

// laid is what processes share that lay the model in the same layers, by lines of the same
// width: the layers are cut once for all of them.
type laid struct {
	*call
	layer, line float64
	visits      []func(*stack) // add to the sweep over the layers what the measures need there
	swept       lazy[*stack]
	atEnd       []func() // called when all is measured
	parts       *store   // what was found, by all that it depends on
}

// laidKey is the key of what was found in one pose on layers of one kind, where that is kept.
type laidKey struct {
	pose              Pose
	layer, line, cell float64
}

// MeasureAll takes measures for several processes, as Measure does for each of them. What
// does not depend on where they differ is done once. The results are in the order of what
// was asked.
func (b *Body) MeasureAll(ctx context.Context, pose Pose, opt Options, asked []Asked) ([][]Result, error) {
	c := &call{ctx: ctx, body: b, pose: pose, opt: opt}
	var groups []*laid
	list := make([]*evaluation, len(asked))
	for i := range asked {
		p := &asked[i].Process
		list[i] = &evaluation{laid: c.group(&groups, p.Layer, p.Line), process: *p}
		if err := list[i].begin(asked[i].Requests); err != nil {
			return nil, err
		}
	}
	results := make([][]Result, len(asked))
	for _, g := range groups {
		for i, r := range list {
			if r.laid != g {
				continue
			}
			var err error
			if results[i], err = r.take(asked[i].Requests); err != nil {
				return nil, err
			}
		}
		for _, end := range g.atEnd {
			end()
		}
		g.visits, g.atEnd, g.swept = nil, nil, lazy[*stack]{} // the next group may need the memory
	}
	return results, nil
}

// group is what belongs to a layer and a line, made for whoever asks first.
func (c *call) group(groups *[]*laid, layer, line float64) *laid {
	for _, g := range *groups {
		if g.layer == layer && g.line == line {
			return g
		}
	}
	g := &laid{call: c, layer: layer, line: line, parts: new(store)}
	if c.body.KeepPoses {
		g.parts = shared(&c.body.parts, laidKey{c.pose, layer, line, c.opt.Cell}, func() *store { return g.parts })
	}
	*groups = append(*groups, g)
	return g
}

// sees says which figures of the process a measure looks at beside layer and line. What is
// found is shared by all processes that agree in these.
type sees func(catalog.Process) catalog.Process

// Figures that measures look at.
var (
	seesBed     sees = func(p catalog.Process) catalog.Process { return catalog.Process{Bed: p.Bed} }
	seesBridge  sees = func(p catalog.Process) catalog.Process { return catalog.Process{Bridge: p.Bridge} }
	seesPlastic sees = func(p catalog.Process) catalog.Process {
		return catalog.Process{Density: p.Density, Flow: p.Flow, Price: p.Price}
	}
)

// seen is what a measure sees of the process. The bed counts for all of them where it is so
// much smaller than the model that this is not measured.
func (r *evaluation) seen(s sees) (p catalog.Process) {
	if s != nil {
		p = s(r.process)
	}
	if r.farLarger() {
		p.Bed = r.process.Bed
	}
	return p
}
