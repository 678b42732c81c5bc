package advise

import (
	"cmp"
	"context"
	"math"
	"slices"

	"printlint/internal/added"
	"printlint/internal/cut"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/support"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// How much is tried: findings of one way up that a solid is made for, and models judged with
// one, each of which costs as much as a way up that is judged in full.
const (
	mostEdits = 12
	editLooks = 14
)

// editTriangles is how many triangles are judged in all: a model of 300,000 gets its proposals in
// seconds. The first look is of all findings together, so that few looks lose little.
const editTriangles = 2_500_000

// looksAt is how many models with solids are judged of one with so many triangles.
func looksAt(triangles int) int { return min(editLooks, max(editTriangles/max(triangles, 1), 3)) }

// slopeAngle is that of an added slope, in degrees from vertical. Common practice, no source:
// 45 degrees print on every machine.
const slopeAngle = 45

// A plate under the foot: high enough for four common layers, taken under all that begins no
// higher, with a rim that is wider in each try. Judgement, no source.
const (
	plateThickness = 1.0
	plateReach     = 1.0
)

var plateRims = []float64{3, 8}

// edit is a solid to add or to take away, with what it does.
type edit struct {
	kind   string
	words  string
	at     mesh.Vec // in the file's own frame
	solid  *mesh.Mesh
	moves  []added.Move // the same done to the mesh itself; none where the solid is only put to it
	out    mesh.Vec     // where a face looks that is moved; none of what grows all around
	away   []cut.Plane  // of what is taken away, which then is the solid once it was tried; else nil
	rules  []string
	volume float64 // added; below zero where it is taken away
}

// edited is a model with solids added, and what it takes to print.
type edited struct {
	changed
	list  []*edit
	print *measure.PrintModel
}

// editor tries solids on one way up.
type editor struct {
	*Question
	way    *wayUp
	posed  *mesh.Mesh
	volume float64 // of the model, mm3
	looks  *looks
}

// edits looks for small solids which, added to the model as it lies or in the best way up, end
// errors and bring no finding. It is nil where there are none.
func (q *Question) edits(ctx context.Context, ways []wayUp) (*edited, error) {
	if q.Depth != Full || q.Down != nil || ways[0].Errors == 0 && !ways[0].snaps() {
		return nil, nil
	}
	var found []*edited
	looks := &looks{left: looksAt(len(q.AsItLies.Mesh.Tris))}
	lies := &ways[slices.IndexFunc(ways, isAsItLies)]
	for _, w := range lyingFirst(ways)[:min(len(ways), 2)] {
		if w.Unfit {
			continue
		}
		e, err := q.editsOf(ctx, w, looks)
		if err != nil {
			return nil, err
		}
		if e == nil || !e.fewer(&ways[0]) || !e.fewer(lies) || !e.pays(e.work(), &ways[0]) {
			continue
		}
		found = append(found, e)
		if e.Errors == 0 {
			break
		}
	}
	if len(found) == 0 {
		return nil, nil
	}
	return least(found), nil
}

// least leaves the least.
func least(list []*edited) *edited {
	return slices.MinFunc(list, func(a, b *edited) int { return cmpLeft(&a.wayUp, &b.wayUp) })
}

// editsOf tries solids in one way up: all that make something thicker together, each of the others
// by itself, then those that help together.
func (q *Question) editsOf(ctx context.Context, w *wayUp, looks *looks) (*edited, error) {
	if !slices.ContainsFunc(w.hits, func(h verdict.Hit) bool { return w.editable(h) || w.thins(&h) }) {
		return nil, nil
	}
	e := &editor{Question: q, way: w, looks: looks}
	e.posed, _ = q.AsItLies.Mesh.Posed(pose.MatrixTo(w.Down))
	before, err := q.printOf(ctx, q.AsItLies.Body, w.Down)
	if err != nil {
		return nil, err
	}
	e.volume = before.Volume
	helping, err := e.helping(ctx)
	if err != nil || len(helping) == 0 {
		return nil, err
	}
	if len(helping) == 1 {
		return helping[0], nil
	}
	var together []*edit
	for _, h := range helping {
		together = append(together, h.list...)
	}
	alone := least(helping)
	all, err := e.try(ctx, together)
	if err != nil || all == nil || all.adds() != "" || !all.fewer(&alone.wayUp) {
		return alone, err
	}
	return all, nil
}

// helping are the changes that help, each without the others.
func (e *editor) helping(ctx context.Context) (list []*edited, err error) {
	thicker, err := e.thicken(ctx)
	if err != nil {
		return nil, err
	}
	if thicker != nil {
		list = append(list, thicker)
	}
	choices := e.choices()
	all, err := e.atOnce(ctx, choices)
	if err != nil {
		return nil, err
	}
	if all != nil {
		return append(list, all), nil
	}
	for _, choices := range choices {
		for _, c := range choices {
			with, err := e.try(ctx, []*edit{c})
			if err != nil {
				return nil, err
			}
			if with != nil && with.Errors < e.way.Errors && with.adds() == "" {
				c.rules = with.ends()
				list = append(list, with)
				break
			}
		}
	}
	return list, nil
}

// editable says that a solid may end the finding.
func (w *wayUp) editable(h verdict.Hit) bool {
	if h.Level != finding.Error || h.Site == nil {
		return false
	}
	switch w.measureOf(h.Rule) {
	case measure.Overhang.Name(), measure.Bridge.Name(), measure.Base.Name(), measure.Feet.Name(), measure.Stability.Name():
		return true
	}
	return false
}

// choices are the solids worth trying, those for one finding together, the smallest first.
func (e *editor) choices() [][]*edit {
	var list [][]*edit
	var topology *mesh.Topology
	var seen []*measure.Below
	foot := false
	for i := range e.way.hits {
		h := &e.way.hits[i]
		var below *measure.Below
		if h.Site != nil {
			below = h.Site.Below
		}
		switch {
		case !e.way.editable(*h) || len(list) == mostEdits:
		case below == nil && !foot:
			foot = true
			list = append(list, e.plates(h))
		case below != nil && !slices.Contains(seen, below):
			seen = append(seen, below)
			if topology == nil {
				topology = e.posed.Topology()
			}
			if c := e.under(topology, h); len(c) > 0 {
				list = append(list, c)
			}
		}
	}
	return list
}

// under are solids below a place that hangs. Where it is the ceiling of a hole, the top of the hole
// is made higher first, since that leaves it as wide as it is, and a narrow one gets nothing else:
// something may sit in it. What lies within a surface is certain only where that is closed.
func (e *editor) under(t *mesh.Topology, h *verdict.Hit) (list []*edit) {
	var ceiling *added.Ceiling
	if t.Closed() {
		ceiling = added.CeilingOf(e.posed, t, h.Site.Tris)
	}
	hole := ceiling != nil && h.Site.Below.OnBed == 0
	if hole && ceiling.Narrow() {
		return e.drops(ceiling, h)
	}
	if e.way.measureOf(h.Rule) == measure.Bridge.Name() {
		list = append(list, e.arches(t, h)...)
		list = append(list, e.walls(h))
	} else if s := added.Under(e.posed, t, h.Site.Tris, slopeAngle, 0); s != nil {
		list = append(list, slopeEdit(s, h))
	}
	slices.SortStableFunc(list, func(a, b *edit) int { return cmp.Compare(a.solid.Volume(), b.solid.Volume()) })
	switch {
	case hole:
		return append(e.drops(ceiling, h), list...)
	case ceiling != nil:
		return append(list, e.drops(ceiling, h)...)
	}
	return list
}

// walls cut a bridge into spans that hold, under its middle or in equal shares. They stand on the
// bed, or on what lies below all of it.
func (e *editor) walls(h *verdict.Hit) *edit {
	site, box := measure.Bridge.Site(h.Site), h.Site.Below.Box
	longest := e.way.View.Process.Bridge
	count := max(1, int(math.Ceil(site.Span/math.Max(longest, 1)))-1)
	size := box.Size()
	alongX := math.Abs(size.X-site.Span) <= math.Abs(size.Y-site.Span)
	high, floor := site.Z, 0.0
	if h.Site.Below.OnBed == 0 {
		high, floor = site.Drop, max(0, site.Z-site.Drop-e.way.View.Process.Layer)
	}
	return wallEdit(added.Walls(box, alongX, count, added.Thickness(e.way.View.Process.Line), floor), count, high, h)
}

// plates are plates under the foot, the smallest first.
func (e *editor) plates(h *verdict.Hit) (list []*edit) {
	for _, rim := range plateRims {
		if solid, size := added.Plate(e.posed, plateReach, plateThickness, rim); solid != nil {
			list = append(list, plateEdit(solid, size, h))
		}
	}
	return list
}

// try judges the model with solids added; nil where no more may be judged.
func (e *editor) try(ctx context.Context, list []*edit) (*edited, error) {
	if !e.looks.more() {
		return nil, nil
	}
	joined, err := e.changed(ctx, list)
	if err != nil || joined == nil {
		return nil, err
	}
	out, print, err := e.judge(ctx, joined)
	if err != nil {
		return nil, err
	}
	c := e.way.Candidate
	c.Contact = out.Base
	all := &edited{changed{wayUp{c, out}, e.way}, list, print}
	if len(list) == 1 {
		all.share(print.Volume - e.volume)
	}
	return all, nil
}

// judge applies the rules to the layers of a model with solids added. What does not change when
// a model is turned is taken over from the one without: the solids overlap it, and are no part
// of its surface, or faces were moved that stay as whole as they were.
func (e *editor) judge(ctx context.Context, joined *mesh.Mesh) (*outcome, *measure.PrintModel, error) {
	s := verdict.New(joined, e.Part, e.way.View, Extra...)
	all := slices.Clone(e.way.Results)
	var ask []measure.Request
	var into []int
	for i, r := range s.Requests {
		if !verdict.Definition(r.Measure).PoseFree {
			ask, into = append(ask, r), append(into, i)
		}
	}
	ask = append(ask, printRequest...)
	results, err := s.Body.Measure(ctx, measure.AsIs, s.View.Process, measure.Options{Jobs: e.Jobs}, ask)
	if err == nil {
		err = work.Of(ctx).Err()
	}
	if err != nil {
		return nil, nil, err
	}
	for k, i := range into {
		all[i] = results[k]
	}
	v, err := s.Judge(all)
	if err != nil {
		return nil, nil, err
	}
	out, err := e.about(v).at(ctx, pose.Down, false)
	print := measure.Print.Model(&results[len(results)-1])
	return out, &print, err
}

// work is what it takes to draw the solids, in minutes.
func (e *edited) work() (sum float64) {
	for _, c := range e.list {
		if thickened(c.kind) {
			sum += thickWork
		} else {
			sum += drawWork
		}
	}
	return sum
}

// ends are the rules that find less than before.
func (e *edited) ends() (list []string) {
	now := e.left()
	for _, old := range e.before.left() {
		k := slices.IndexFunc(now, func(c finding.RuleCount) bool { return c.Rule == old.Rule && c.Level == old.Level })
		if k < 0 || now[k].Count < old.Count {
			list = append(list, old.Rule)
		}
	}
	return slices.Compact(list)
}

// report describes the solids.
func (e *edited) report(lies *wayUp) *finding.Edits {
	process := e.View.Process
	r := &finding.Edits{Words: e.words(lies), Caution: e.caution(), Pose: onePose(&e.wayUp, lies.traits()), List: []finding.Edit{}}
	// The solids overlap the model, so that its layers are counted and not its surface.
	takes(&r.Pose, e.print)
	for _, c := range e.list {
		r.List = append(r.List, finding.Edit{
			Kind: c.kind, Words: c.words + "; " + c.amount(), Rules: c.rules, At: verdict.Point(c.at),
			Volume: finding.Round(c.volume), Grams: finding.Round(support.Grams(c.volume, process)), Solid: cornersOf(c.solid), Away: c.taken(),
		})
	}
	return r
}
