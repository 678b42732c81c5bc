package measure

import (
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// stack is one sweep over the layers of a posed mesh and all that was taken on the
// way, so that the model is cut once whatever is asked of it.
type stack struct {
	*evaluation
	mesh     *mesh.Mesh // posed
	place    mesh.Placement
	grid     layers.Grid
	minTilt  float64 // least tilt in degrees from vertical of which undersides are shown
	angles   int     // for how many angles undersides are gathered
	unfit    error   // why undersides cannot be gathered for all that were asked for
	visitors []layers.Visitor
	atTop    []func() error // called after the last layer
	done     bool
	parts    store
}

// defaultCell is the side of a cell where the process does not ask for a finer one.
const defaultCell = 0.1

// cell chooses the side of a cell: a quarter of a line at most, so that a line's
// edge is never lost between cells.
func (r *evaluation) cell() float64 {
	if r.opt.Cell > 0 {
		return r.opt.Cell
	}
	return min(defaultCell, r.process.Line/4)
}

// layers sweeps the model once and returns what was found, or why that cannot be.
func (r *evaluation) layers() (*stack, error) {
	if err := r.fit(); err != nil {
		return nil, err
	}
	return r.swept.get(r.sweep)
}

func (r *evaluation) sweep() (*stack, error) {
	s := &stack{evaluation: r, minTilt: 90}
	whole, err := r.mended()
	if err != nil {
		return nil, err
	}
	s.mesh, s.place = whole.Mesh.Posed(r.pose.M)
	if err := r.tooLow(s.mesh.Box().Size().Z); err != nil {
		return nil, err
	}
	if s.grid, err = layers.NewGrid(s.mesh.Box(), r.process.Layer, r.cell()); err != nil {
		return nil, unlaid(err)
	}
	for _, visit := range r.visits {
		visit(s)
	}
	if s.unfit != nil {
		return nil, s.unfit
	}
	// Of a surface with one side only, what looks up may be an underside.
	opt := layers.Options{Tilt: s.minTilt, TwoSided: whole.Twisted > 0, Jobs: r.opt.Jobs}
	if err := layers.Sweep(r.ctx, s.mesh, s.grid, opt, s.visitors...); err != nil {
		return nil, err
	}
	s.done, s.visitors = true, nil
	for _, end := range s.atTop {
		if err := end(); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// visit adds a visitor to the sweep and returns it. Visitors see a layer in the order in
// which they were added.
func visit[V layers.Visitor](s *stack, v V) V {
	if s.done {
		panic("a visitor was asked for when the layers had been seen")
	}
	s.visitors = append(s.visitors, v)
	return v
}

type topsKey struct{}

// tops knows what lies below each cell of the layer; it sees layers before whoever asks.
func (s *stack) tops() *layers.Tops {
	return shared(&s.parts, topsKey{}, func() *layers.Tops { return visit(s, layers.NewTops(&s.grid)) })
}

type carriersKey struct{}

// carriers knows what carries each cell of the layer; it sees layers before whoever asks.
func (s *stack) carriers() *layers.Carriers {
	return shared(&s.parts, carriersKey{}, func() *layers.Carriers { return visit(s, layers.NewCarriers(&s.grid)) })
}

type sectionsKey struct{}

// followed adds a follower of the pieces of the layers and returns it.
func followed[F follower](s *stack, f F) F {
	v := shared(&s.parts, sectionsKey{}, func() *sectionVisitor { return visit(s, newSectionVisitor()) })
	v.followers = append(v.followers, f)
	return f
}
