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

// flat is a model with a little cut off its bottom, judged.
type flat struct {
	wayUp
	before *wayUp  // the same way up, uncut
	height float64 // that is cut off, mm
	volume float64 // that is cut off, mm3
}

// errOpen says that a surface cannot be cut, since inside and outside are not certain.
var errOpen = errors.New("close its surface first, then a flat to stand on can be looked for")

// flat looks for the least to cut off the bottom, in one of the ways up that were judged, so
// that the model stands on a flat that the rules of the foot do not find fault with, has fewer
// errors, and no finding that it did not have. It is nil where there is none.
func (q *Question) flat(ctx context.Context, ways []wayUp) (*flat, error) {
	if ways[0].Errors == 0 || ways[0].Unfit {
		return nil, nil
	}
	rungs, most := 3, len(ways)
	if q.Depth == Short {
		rungs, most = 2, 2
	}
	var found []wayUp
	var flats []*flat
	var whole *mesh.Mesh
	for i := range ways {
		w := &ways[i]
		low := w.lowFeet()
		if most == 0 || w.Unfit || len(low) == 0 && w.stands() {
			continue
		}
		most--
		if whole == nil {
			var err error
			if whole, err = closed(ctx, q.AsItLies.Mesh, q.tree); err != nil {
				return nil, err
			}
		}
		posed, _ := whole.Posed(pose.MatrixTo(w.Down))
		for _, z := range w.heights(posed, low, rungs) {
			f, err := q.cutOff(ctx, w, posed, z)
			if errors.Is(err, cut.ErrSection) {
				continue
			}
			if err != nil {
				return nil, err
			}
			if f.stands() && f.adds(w) == "" && f.Errors < w.Errors && f.Errors < ways[0].Errors {
				found, flats = append(found, f.wayUp), append(flats, f)
				break
			}
		}
	}
	if len(found) == 0 {
		return nil, nil
	}
	sortWays(found, false)
	k := slices.IndexFunc(flats, func(f *flat) bool { return f.Down == found[0].Down })
	return flats[k], nil
}

func (q *Question) tree(ctx context.Context) (*spatial.Tree, error) {
	return q.AsItLies.Body.Tree(ctx, q.Jobs)
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
	whole, err := closed(ctx, m, func(ctx context.Context) (*spatial.Tree, error) { return measure.NewBody(m).Tree(ctx, 1) })
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
	s := verdict.New(piece, q.Part, q.AsItLies.View, Extra...)
	results, err := s.Body.Measure(ctx, measure.AsIs, s.View.Process, measure.Options{Jobs: q.Jobs}, s.Requests)
	if err == nil {
		err = work.Of(ctx).Err()
	}
	if err != nil {
		return nil, err
	}
	v, err := s.Judge(results)
	if err != nil {
		return nil, err
	}
	own := &Question{AsItLies: v, Config: q.Config, Path: q.Path, Part: q.Part, Jobs: q.Jobs}
	out, err := own.at(ctx, pose.Down, false)
	if err != nil {
		return nil, err
	}
	c := w.Candidate
	c.Contact, c.Height = out.Base, c.Height-z
	return &flat{wayUp: wayUp{c, out}, before: w, height: z, volume: volume}, nil
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
func (out *outcome) adds(before *wayUp) string {
	old := before.left()
	for _, c := range out.left() {
		k := slices.IndexFunc(old, func(o finding.RuleCount) bool { return o.Rule == c.Rule && o.Level == c.Level })
		if k < 0 || c.Level == finding.Error && c.Count > old[k].Count {
			return c.Rule
		}
	}
	return ""
}

// deepest is how much of a way up may be cut off.
func (w *wayUp) deepest() float64 { return min(mostCut, cutShare*w.Height) }

// lowFeet are the heights at which pieces begin in the air that a cut reaches: feet that are
// not level with the lowest one. They are in order.
func (w *wayUp) lowFeet() []float64 {
	var list []float64
	for i := range w.hits {
		h := &w.hits[i]
		if h.Site == nil || h.Level != finding.Error || w.measureOf(h.Rule) != measure.Island.Name() {
			continue
		}
		if z := measure.Island.Site(h.Site).Z; z+w.View.Process.Layer <= w.deepest() {
			list = append(list, z)
		}
	}
	slices.Sort(list)
	return list
}

// heights are those at which a cut is worth judging, the least first: where the rules of the
// first layer hold for the section, and all low feet are reached; then where it is larger.
func (w *wayUp) heights(posed *mesh.Mesh, low []float64, most int) []float64 {
	all := make([]float64, int(w.deepest()*cutSteps))
	for i := range all {
		all[i] = float64(i+1) / cutSteps
	}
	from := 0.0
	if len(low) > 0 {
		from = low[len(low)-1] + w.View.Process.Layer/2
	}
	var list []float64
	least := 0.0
	for i, area := range cut.Areas(posed, all) {
		if all[i] < from || area < least || !w.holds(area) {
			continue
		}
		list, least = append(list, all[i]), growth*area
		if len(list) == most {
			break
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
