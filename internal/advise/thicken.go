package advise

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// How many walls and pins of one way up are made thicker, and how often all of them are judged
// together, each time without what was in the way.
const (
	mostThin   = 60
	mostRounds = 5
)

// thin is a wall or a pin that is too thin.
type thin struct {
	hits    []*verdict.Hit // of one place
	by      float64        // that a wall needs more, mm
	choices []*edit        // the best first, those in the way taken off
}

// thickener makes solids that make walls and pins thicker, all in the frame of the way up.
type thickener struct {
	*editor
	whole    *mesh.Mesh
	own      bool // the triangles of whole are those of the file
	topology *mesh.Topology
	query    spatial.Query
}

// thins says that a finding is of something too thin that can be made thicker. Those of walls
// are errors, or warnings beside one, since narrow strips of thin wall mostly print. Of pins
// warnings are all there is: one that is left out, or that snaps, is as good as an error to
// whoever needs it, while nothing but its designer can help where turning does not.
func (w *wayUp) thins(h *verdict.Hit) bool {
	if h.Site == nil || h.Level.Rank() > finding.Warning.Rank() {
		return false
	}
	switch w.measureOf(h.Rule) {
	case measure.Column.Name():
		return true
	case measure.Wall.Name():
		return !measure.Wall.Site(h.Site).Sharp && (h.Level == finding.Error || slices.ContainsFunc(w.hits, w.thinError))
	}
	return false
}

// thinError says that a finding is the error of a thin wall.
func (w *wayUp) thinError(h verdict.Hit) bool {
	return h.Level == finding.Error && h.Site != nil && w.measureOf(h.Rule) == measure.Wall.Name() && !measure.Wall.Site(h.Site).Sharp
}

// snaps says that it has a pin which is too thin.
func (w *wayUp) snaps() bool {
	return slices.ContainsFunc(w.hits, func(h verdict.Hit) bool {
		return w.measureOf(h.Rule) == measure.Column.Name() && w.thins(&h)
	})
}

// fewer says that less is left, errors first.
func (w *wayUp) fewer(than *wayUp) bool { return cmpLeft(w, than) < 0 }

func cmpLeft(a, b *wayUp) int {
	return cmp.Or(cmp.Compare(a.Errors, b.Errors), cmp.Compare(a.Warnings, b.Warnings))
}

// thicken makes all walls and pins thicker that are too thin, judged together: what stands in the
// way of one only takes another side of it, or leaves it as it is. It is nil where none is helped.
func (e *editor) thicken(ctx context.Context) (*edited, error) {
	list := e.way.thinPlaces()
	if len(list) == 0 {
		return nil, nil
	}
	t, err := e.thickener(ctx)
	if err != nil || t == nil {
		return nil, err
	}
	for i := range list {
		if err := t.choose(ctx, &list[i]); err != nil {
			return nil, err
		}
	}
	for range mostRounds {
		list = e.apart(list)
		var now []*edit
		for i := range list {
			now = append(now, list[i].choices[0])
		}
		if len(now) == 0 {
			return nil, nil
		}
		with, err := e.try(ctx, now)
		if err != nil || with == nil {
			return nil, err
		}
		if err := work.Of(ctx).Spend(int64(len(with.hits)) * int64(len(e.way.hits))); err != nil {
			return nil, err
		}
		switch blamed, others := e.blame(with, list); {
		case others:
			return nil, nil
		case blamed:
			continue
		case with.fewer(e.way) && with.adds() == "":
			with.share(with.print.Volume - e.volume)
			if len(now) == 1 { // it may end more than it was made for, such as a ledge above a pin
				now[0].rules = with.ends()
			}
			return with, nil
		}
		return nil, nil
	}
	return nil, nil
}

// apart takes off the choices of places that would come too near to those of others before them,
// which no rule sees where they grow together. What has no choice left is gone.
func (e *editor) apart(list []thin) (free []thin) {
	for _, p := range list {
		p.choices = slices.Clone(p.choices)
		for len(p.choices) > 0 && slices.ContainsFunc(free, func(o thin) bool { return e.collide(o.choices[0], p.choices[0]) }) {
			p.choices = p.choices[1:]
		}
		if len(p.choices) > 0 {
			free = append(free, p)
		}
	}
	return free
}

// collide says that two that grow come too near to each other. Faces that do not look at each
// other, as those that meet in a corner, do not.
func (e *editor) collide(a, b *edit) bool {
	one, other := a.solid.Box().Grow(e.clearance()), b.solid.Box()
	return one.Meets(&other, 0) && (a.out == mesh.Vec{} || b.out == mesh.Vec{} || a.out.Dot(b.out) < lookingAt)
}

// lookingAt is the cosine from which two faces look at each other.
const lookingAt = -0.5

// share gives each edit its share of what all of them add, which is less than the sum where they
// lie in other bodies. All of what is taken away is solid.
func (e *edited) share(added float64) {
	sum := 0.0
	for _, c := range e.list {
		switch {
		case c.away != nil:
			c.volume = -c.solid.Volume()
			added -= c.volume
		case c.volume == 0:
			c.volume = c.solid.Volume()
			fallthrough
		default:
			sum += c.volume
		}
	}
	for _, c := range e.list {
		if c.away == nil {
			c.volume *= added / max(sum, math.SmallestNonzeroFloat64)
		}
	}
}

// thinPlaces are those that are too thin, and what they need.
func (w *wayUp) thinPlaces() (list []thin) {
	for i := range w.hits {
		h := &w.hits[i]
		if !w.thins(h) {
			continue
		}
		k := slices.IndexFunc(list, func(p thin) bool { return p.hits[0].Site == h.Site })
		switch {
		case k >= 0:
			list[k].hits = append(list[k].hits, h)
		case len(list) < mostThin:
			p := thin{hits: []*verdict.Hit{h}}
			if w.measureOf(h.Rule) == measure.Wall.Name() {
				p.by = w.wallNeeds(h.Site)
			}
			list = append(list, p)
		}
	}
	return list
}

// thickener gets ready to make walls and pins thicker; nil where inside and outside of the
// surface are not certain.
func (e *editor) thickener(ctx context.Context) (*thickener, error) {
	t := &thickener{editor: e, whole: e.posed, own: true}
	if t.topology = t.whole.Topology(); !t.topology.Closed() || t.whole.Volume() <= 0 {
		whole, err := closed(ctx, e.AsItLies.Mesh, e.tree)
		if errors.Is(err, errOpen) {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		t.whole, t.own = whole.Mapped(e.way.place.To), false
		t.topology = t.whole.Topology()
	}
	if t.whole.Volume() <= 0 {
		return nil, nil
	}
	tree, err := measure.NewBody(t.whole).Tree(ctx, e.Jobs)
	t.query = spatial.Query{Tree: tree}
	return t, err
}

// clearance is what stays free between a wall that is made thicker and what is opposite.
func (e *editor) clearance() float64 {
	p := &e.way.View.Process
	return max(p.Limits.Gap.Holds, p.Line/2)
}

// choose makes the solids that could help one place, the one that adds least first.
func (t *thickener) choose(ctx context.Context, p *thin) error {
	if err := work.Of(ctx).Spend(faceCost * int64(len(t.whole.Tris))); err != nil {
		return err
	}
	if t.way.measureOf(p.hits[0].Rule) == measure.Wall.Name() {
		p.choices = t.wallChoices(p)
	} else {
		p.choices = t.pinChoices(p)
	}
	for _, c := range p.choices {
		for _, h := range p.hits {
			c.rules = append(c.rules, h.Rule)
		}
		c.at = p.hits[0].Site.At
	}
	err := work.Of(ctx).Spend(t.query.Cost)
	t.query.Cost = 0
	return err
}

// faceCost is what looking for a face or a pin costs in work, for each triangle of the model.
const faceCost = 4

// blame takes off the choice of each place that a finding still is at, or that a new finding is
// beside. Others says that there is a new one beside none.
func (e *editor) blame(with *edited, list []thin) (blamed, others bool) {
	guilty := make([]bool, len(list))
	for i := range with.hits {
		h := &with.hits[i]
		box := boxOf(h)
		if e.known(h, &box, list) {
			continue
		}
		beside := false
		for k := range list {
			own := list[k].choices[0].solid.Box().Grow(1)
			if box.Meets(&own, 0) {
				guilty[k], beside = true, true
			}
		}
		others = others || !beside
	}
	for k := range guilty {
		if guilty[k] {
			list[k].choices = list[k].choices[1:]
			blamed = true
		}
	}
	return blamed, others
}

// known says that a finding was there before, and is of no place that was to be helped.
func (e *editor) known(h *verdict.Hit, box *mesh.Box, list []thin) bool {
	for i := range e.way.hits {
		o := &e.way.hits[i]
		own := e.way.place.ToBox(boxOf(o))
		if o.Rule != h.Rule || o.Level != h.Level || !box.Meets(&own, 0) {
			continue
		}
		if !slices.ContainsFunc(list, func(p thin) bool { return slices.Contains(p.hits, o) }) {
			return true
		}
	}
	return false
}

// boxOf is the box of a finding.
func boxOf(h *verdict.Hit) mesh.Box {
	return mesh.Box{Min: mesh.VecOf(h.Box[0]), Max: mesh.VecOf(h.Box[1])}
}

// stands is an edit of something that is made thicker; nil where its solid would reach below
// the bed, or is none.
func (t *thickener) stands(kind, words string, solid *mesh.Triangles, volume float64) *edit {
	if solid == nil {
		return nil
	}
	m := mesh.Weld(solid)
	if m.Box().Min.Z < -rim || !m.Topology().Closed() {
		return nil
	}
	return &edit{kind: kind, words: words, solid: m, volume: volume}
}

// asMuch is the share from which what one adds is as much as what another does.
const asMuch = 0.8

// leastFirst puts those that add least first, of those that add about as much the first of the list, and leaves out what could not be made.
func leastFirst(list ...*edit) []*edit {
	list = slices.DeleteFunc(list, func(c *edit) bool { return c == nil })
	slices.SortStableFunc(list, func(a, b *edit) int {
		if most := max(a.volume, b.volume); min(a.volume, b.volume) < float64(asMuch*most) {
			return cmp.Compare(a.volume, b.volume)
		}
		return 0
	})
	return list
}
