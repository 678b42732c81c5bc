package advise

import (
	"context"
	"errors"
	"slices"

	"printlint/internal/added"
	"printlint/internal/catalog"
	"printlint/internal/cut"
	"printlint/internal/mesh"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// spanShare is how much of the span that stays flat is left where a ceiling is not pointed all
// the way: a little less, since layers are cut in cells. Judgement, no source.
const spanShare = 0.95

// leftSpan is the span that an arch or a point with a flat top leaves.
func leftSpan(p catalog.Process) float64 { return float64(spanShare * p.Bridge) }

// drops point the top of the hole, or all but a flat where the wall above is too thin for the point.
func (e *editor) drops(c *added.Ceiling, h *verdict.Hit) (list []*edit) {
	process := e.way.View.Process
	for _, flat := range []float64{0, leftSpan(process)} {
		if d := c.Pointed(flat, added.Thickness(process.Line)); d != nil {
			list = append(list, dropEdit(d, h))
		}
	}
	return list
}

// arches come from what holds a bridge on all sides, and end where the span that is left holds, or
// meet under its middle. A ledge gets the whole slope instead: what would be left of it droops,
// and a straight slope is as easily drawn.
func (e *editor) arches(t *mesh.Topology, h *verdict.Hit) (list []*edit) {
	for _, left := range []float64{leftSpan(e.way.View.Process), 0} {
		if s := added.Under(e.posed, t, h.Site.Tris, slopeAngle, left/2); s != nil {
			list = append(list, archEdit(s, left, h))
		}
	}
	return list
}

// atOnce tries the first choice for each finding together, which takes one look where a model has
// many holes. It is nil where one of them does not end its finding or they bring another, or for
// one finding alone.
func (e *editor) atOnce(ctx context.Context, choices [][]*edit) (*edited, error) {
	var list []*edit
	for _, c := range choices {
		if len(c) > 0 {
			list = append(list, c[0])
		}
	}
	if len(list) < 2 {
		return nil, nil
	}
	with, err := e.try(ctx, list)
	if err != nil || with == nil || with.Errors > e.way.Errors-len(list) || with.adds() != "" {
		return nil, err
	}
	with.share(with.print.Volume - e.volume)
	with.foot()
	return with, nil
}

// foot says of a plate which other rules find less, where no other solid is for them: those that
// ask for how the model stands.
func (e *edited) foot() {
	k := slices.IndexFunc(e.list, func(c *edit) bool { return c.kind == "plate" })
	if k < 0 {
		return
	}
	for _, rule := range e.ends() {
		if !slices.ContainsFunc(e.list, func(c *edit) bool { return slices.Contains(c.rules, rule) }) {
			e.list[k].rules = append(e.list[k].rules, rule)
		}
	}
}

// changed is the model with what is taken away gone and the other solids joined to it; nil where
// that cannot be cut.
func (e *editor) changed(ctx context.Context, list []*edit) (*mesh.Mesh, error) {
	rest := e.joined(slices.DeleteFunc(slices.Clone(list), func(c *edit) bool { return c.away != nil }))
	for _, c := range list {
		if c.away == nil {
			continue
		}
		left, taken, err := cut.Away(work.Of(ctx), rest, c.away)
		if errors.Is(err, cut.ErrSection) || err == nil && taken == nil {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		rest, c.solid = left, taken
	}
	return rest, nil
}

// taken are the planes of what is taken away, as the report carries them for pictures.
func (c *edit) taken() (list [][4]float64) {
	for _, p := range c.away {
		list = append(list, [4]float64{p.Normal.X, p.Normal.Y, p.Normal.Z, p.Offset})
	}
	return list
}

// Pointed returns the model, in the way up that edits are for, with what they take away gone. Bared
// tells the triangles that bound what was taken.
func Pointed(ctx context.Context, posed *mesh.Mesh, away [][][4]float64) (rest *mesh.Mesh, bared func(t int) bool, err error) {
	rest = posed
	var all [][]cut.Plane
	for _, list := range away {
		var planes []cut.Plane
		for _, p := range list {
			planes = append(planes, cut.Plane{Normal: mesh.Vec{X: p[0], Y: p[1], Z: p[2]}, Offset: p[3]})
		}
		if len(planes) == 0 {
			continue
		}
		all = append(all, planes)
		if rest, _, err = cut.Away(work.Of(ctx), rest, planes); err != nil {
			return nil, nil, err
		}
	}
	return rest, func(t int) bool {
		a, b, c := rest.Corners(t)
		return slices.ContainsFunc(all, func(planes []cut.Plane) bool { return cut.Bounds(planes, a, b, c) })
	}, nil
}
