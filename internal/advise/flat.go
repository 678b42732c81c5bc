package advise

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"printlint/internal/cut"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mend"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/spatial"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// How much may be cut off the bottom: a few mm and a small share of the height, since more
// takes away what somebody drew for a reason. Heights are tried in steps that can be read
// off a ruler. Judgement, no source.
const (
	mostCut  = 3.0 // mm
	cutShare = 0.1 // of the height
	cutSteps = 10  // a mm
)

// growth is how many times larger the flat is at the next height that is tried, where the
// foot did not hold at the one before. Judgement, no source.
const growth = 1.6

// changed is a model in a way up after a change to its shape, judged.
type changed struct {
	wayUp
	before *wayUp // the same way up, unchanged
}

// flat is a model with a little cut off its bottom.
type flat struct {
	changed
	height float64 // that is cut off, mm
	volume float64 // that is cut off, mm3
}

// errOpen says that a surface cannot be cut, since inside and outside are not certain.
var errOpen = errors.New("close its surface first, then a place to cut it can be looked for")

// flat looks for the least to cut off the bottom, in one of the ways up that were judged, so
// that the model stands on a flat that the rules of the foot do not find fault with, has fewer
// errors, and no finding that it did not have. It is nil where there is none.
func (q *Question) flat(ctx context.Context, ways []wayUp) (*flat, error) {
	if ways[0].Errors == 0 || ways[0].Unfit {
		return nil, nil
	}
	// Fewer than as it lies too, where that is not the best way up: it is held against both.
	limit := min(ways[0].Errors, ways[slices.IndexFunc(ways, isAsItLies)].Errors)
	var found []*flat
	var whole *mesh.Mesh
	looks := &looks{left: fullCuts}
	if q.Depth == Short {
		looks.left = shortCuts
	}
	for _, w := range lyingFirst(ways) {
		if w.Unfit || w.stands() && len(w.lowFeet()) == 0 || q.Depth == Short && !w.mostlyFoot() {
			continue
		}
		if whole == nil {
			var err error
			if whole, err = closed(ctx, q.AsItLies.Mesh, q.tree); err != nil {
				return nil, err
			}
		}
		f, err := q.least(ctx, w, whole, limit, looks)
		if err != nil {
			return nil, err
		}
		if f != nil && f.pays(sinkWork, &ways[0]) {
			found = append(found, f)
		}
		if f != nil && f.clean() || looks.left <= 0 {
			break
		}
	}
	return preferred(found), nil
}

// How many cuts are judged of one model, in all ways up; each costs as much as a way up that
// is judged in full.
const (
	fullCuts  = 12
	shortCuts = 3
)

// looks counts the cuts that may still be judged.
type looks struct{ left int }

// more says whether one more may be judged, and counts it.
func (l *looks) more() bool {
	l.left--
	return l.left >= 0
}

// lyingFirst puts the model as it lies before the others: a cut alone changes less than
// turning and a cut.
func lyingFirst(ways []wayUp) []*wayUp {
	list := make([]*wayUp, len(ways))
	for i := range ways {
		list[i] = &ways[i]
	}
	slices.SortStableFunc(list, func(a, b *wayUp) int {
		return cmp.Compare(min(a.Origin, pose.AsItLies+1), min(b.Origin, pose.AsItLies+1))
	})
	return list
}

// preferred chooses among cuts in several ways up. One that turns the model must leave less
// than one in the model as it lies.
func preferred(found []*flat) *flat {
	if len(found) == 0 {
		return nil
	}
	list := make([]wayUp, len(found))
	for i, f := range found {
		list[i] = f.wayUp
	}
	sortWays(list, false)
	k := slices.IndexFunc(found, func(f *flat) bool { return f.Down == list[0].Down })
	for i, f := range found {
		if isAsItLies(f.wayUp) && f.noWorse(found[k]) {
			return found[i]
		}
	}
	return found[k]
}

// noWorse says that no more is left.
func (f *flat) noWorse(than *flat) bool {
	return f.Uncured <= than.Uncured && f.Errors <= than.Errors && f.Warnings <= than.Warnings
}

// How many heights are judged in one way up, in search of one that helps, and of a lower one
// that helps as much.
const (
	tries  = 4
	closer = 3
)

// least looks for the least cut in one way up that helps and leaves fewer than so many
// errors, or for one a little higher that leaves nothing.
func (q *Question) least(ctx context.Context, w *wayUp, whole *mesh.Mesh, errorsNow int, looks *looks) (*flat, error) {
	posed, _ := whole.Posed(pose.MatrixTo(w.Down))
	list := w.heights(posed)
	judge := func(i int) (*flat, error) {
		f, err := q.cutOff(ctx, w, posed, list[i].z)
		if errors.Is(err, cut.ErrSection) || err == nil && !f.helps(errorsNow) {
			return nil, nil
		}
		return f, err
	}
	var found *flat
	at, under, last := -1, -1, -1 // where it was found, and the highest below it that does less
	for i, n := 0, 0; i < len(list) && n < tries && looks.more(); n++ {
		f, err := judge(i)
		if err != nil {
			return nil, err
		}
		if f != nil && (found == nil || f.clean()) {
			found, at, under = f, i, last
		}
		if f != nil && f.clean() {
			break
		}
		last = i
		for area := growth * list[i].area; i < len(list) && list[i].area < area; {
			i++
		}
	}
	for n := 0; found != nil && at-under > 1 && n < closer && looks.more(); n++ {
		middle := (at + under) / 2
		f, err := judge(middle)
		switch {
		case err != nil:
			return nil, err
		case f != nil && f.noWorse(found):
			found, at = f, middle
		default:
			under = middle
		}
	}
	return found, nil
}

// helps says that the cut is worth telling of: it stands, and has fewer errors and none that
// it did not have.
func (f *flat) helps(errorsNow int) bool {
	return f.stands() && f.Errors < min(f.before.Errors, errorsNow) && f.adds() == ""
}

func (q *Question) tree(ctx context.Context) (*spatial.Tree, error) {
	return q.AsItLies.Body.Tree(ctx, q.Jobs)
}

// treeOf makes the search tree of a mesh.
func treeOf(m *mesh.Mesh) func(context.Context) (*spatial.Tree, error) {
	return func(ctx context.Context) (*spatial.Tree, error) { return measure.NewBody(m).Tree(ctx, 1) }
}

// closed returns the mesh mended, where nothing of what that spans had to be guessed.
func closed(ctx context.Context, m *mesh.Mesh, tree func(context.Context) (*spatial.Tree, error)) (*mesh.Mesh, error) {
	whole, err := mend.Mend(work.Of(ctx), m, m.Topology(), func() (*spatial.Tree, error) { return tree(ctx) })
	if err != nil {
		return nil, err
	}
	if whole.Guessed > 0 || whole.Cancelled > 0 || whole.Loose > 0 || whole.Twisted > 0 {
		return nil, errOpen
	}
	return whole.Mesh, nil
}

// CutOff returns the model as a cut was advised for it: mended where that is needed, turned,
// and its bottom cut off.
func CutOff(ctx context.Context, m *mesh.Mesh, c *finding.Cut) (*mesh.Mesh, error) {
	whole, err := closed(ctx, m, treeOf(m))
	if err != nil {
		return nil, err
	}
	posed, _ := whole.Posed(c.Pose.Matrix)
	piece, err := cut.Above(work.Of(ctx), posed, c.Height)
	if err != nil {
		return nil, err
	}
	laid, _ := piece.Posed(mesh.Identity)
	return laid, nil
}

// cutOff judges what is left of the model in a way up when its bottom is cut off, by all the
// rules.
func (q *Question) cutOff(ctx context.Context, w *wayUp, posed *mesh.Mesh, z float64) (*flat, error) {
	piece, err := cut.Above(work.Of(ctx), posed, z)
	if err != nil {
		return nil, err
	}
	volume := posed.Volume() - piece.Volume()
	piece, _ = piece.Posed(mesh.Identity)
	own, err := q.of(ctx, piece)
	if err != nil {
		return nil, err
	}
	out, err := own.at(ctx, pose.Down, false)
	if err != nil {
		return nil, err
	}
	c := w.Candidate
	c.Contact, c.Height = out.Base, c.Height-z
	return &flat{changed: changed{wayUp{c, out}, w}, height: z, volume: volume}, nil
}

// stands says that no rule of the foot finds fault with it.
func (out *outcome) stands() bool {
	return !slices.ContainsFunc(out.hits, func(h verdict.Hit) bool {
		switch out.measureOf(h.Rule) {
		case measure.Base.Name():
			return h.Level.Rank() <= finding.Warning.Rank()
		case measure.Stability.Name():
			return h.Level == finding.Error
		}
		return false
	})
}

// adds names a rule that finds something which it did not find before, or finds more of what
// is an error, or nothing.
func (n *changed) adds() string {
	old := n.before.left()
	for _, c := range n.left() {
		k := slices.IndexFunc(old, func(o finding.RuleCount) bool { return o.Rule == c.Rule && o.Level == c.Level })
		if k < 0 || c.Level == finding.Error && c.Count > old[k].Count {
			return c.Rule
		}
	}
	return ""
}

// mostlyFoot says that at least half of the errors are of the foot. The short look leaves out
// models of which a cut would end less.
func (w *wayUp) mostlyFoot() bool {
	foot := 0
	for i := range w.hits {
		h := &w.hits[i]
		of := w.measureOf(h.Rule)
		if h.Level == finding.Error && (of == measure.Base.Name() || of == measure.Stability.Name() || len(w.lowFeetOf(h)) > 0) {
			foot++
		}
	}
	return 2*foot >= w.Errors
}

// deepest is how much of a way up may be cut off.
func (w *wayUp) deepest() float64 { return min(mostCut, cutShare*w.Height) }

// lowFeet are the heights at which pieces begin in the air that a cut reaches: feet that are
// not level with the lowest one. They are in order.
func (w *wayUp) lowFeet() []float64 {
	var list []float64
	for i := range w.hits {
		list = append(list, w.lowFeetOf(&w.hits[i])...)
	}
	slices.Sort(list)
	return list
}

// lowFeetOf are those that a hit tells of.
func (w *wayUp) lowFeetOf(h *verdict.Hit) (list []float64) {
	of := w.measureOf(h.Rule)
	if h.Site == nil || h.Level != finding.Error || of != measure.Island.Name() && of != measure.Feet.Name() {
		return nil
	}
	for _, k := range h.Site.Undersides() {
		if z := w.place.To(k.At).Z; z+w.View.Process.Layer <= w.deepest() {
			list = append(list, z)
		}
	}
	return list
}

// section is the model's at a height above the bed.
type section struct{ z, area float64 }

// heights are those at which a cut is worth judging, the least first: the rules of the first
// layer hold for the section, and all low feet are reached.
func (w *wayUp) heights(posed *mesh.Mesh) []section {
	all := make([]float64, int(w.deepest()*cutSteps))
	for i := range all {
		all[i] = float64(i+1) / cutSteps
	}
	from := 0.0
	if low := w.lowFeet(); len(low) > 0 {
		from = low[len(low)-1] + w.View.Process.Layer/2
	}
	var list []section
	for i, s := range cut.Sections(posed, all) {
		if all[i] >= from && w.holds(s.Area) {
			list = append(list, section{all[i], s.Area})
		}
	}
	return list
}

// holds says that no rule of the first layer finds fault with a flat of an area.
func (w *wayUp) holds(area float64) bool {
	k := slices.IndexFunc(w.Requests, func(r measure.Request) bool { return r.Measure == measure.Base.Name() })
	if k < 0 || len(w.Results[k].Sites) == 0 {
		return false
	}
	site := &w.Results[k].Sites[0]
	b, values := measure.Base.Site(site), slices.Clone(site.Values)
	set := setter(measure.Base.Name(), values)
	set("flat", area)
	set("area", area)
	set("floor", 0)
	set("lift", 0)
	if b.Share > 0 {
		set("share", math.Min(area*b.Share/cmp.Or(b.Area, 1), 1))
	}
	return !w.finds(measure.Base.Name(), values, finding.Warning)
}
