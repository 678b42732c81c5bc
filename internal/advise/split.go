package advise

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"printlint/internal/cut"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/support"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// split is a model cut in pieces, each in its best way up, judged.
type split struct {
	planes []plane
	pieces []*laid
	joints int // to glue
	whole  *mesh.Mesh
	pins   *pinned // where pins were asked for
}

// How many planes, and pairs of planes, are judged of one model, how many planes are tried for
// that, and in how many pieces one that is larger than the bed is cut at most. Judgement, no
// source.
const (
	mostSplits = 8
	mostPairs  = 3
	mostCuts   = 24
	mostPieces = 8
)

// split looks for planes to cut the model along, so that the pieces have fewer errors than
// the model in its best way up, and none of a kind that it does not have, and are worth the
// glue. Where one cut leaves something, or a long seam, two are tried. It is nil where there is none.
func (q *Question) split(ctx context.Context, list []pose.Candidate, ways []wayUp, f *flat) (*split, error) {
	lies := &ways[slices.IndexFunc(ways, isAsItLies)]
	if q.Depth != Full || q.Down != nil || !ways[0].turnable() || !lies.turnable() || f != nil && f.clean() {
		return nil, nil
	}
	whole, err := closed(ctx, q.AsItLies.Mesh, q.tree)
	if err != nil {
		return nil, err
	}
	tries, pairs, err := q.ways(ctx, whole, list, &ways[0])
	if err != nil {
		return nil, err
	}
	several := len(lumps(whole, false)) > 1
	c := &cutting{
		Question: q, whole: whole, ways: ways, downs: []mesh.Vec{pose.Down, ways[0].Down},
		limit: ways[0].Errors, several: several, had: len(lumps(whole, several)),
	}
	if ways[0].Unfit {
		c.limit = math.MaxInt // whatever fits is more than nothing
	}
	if f != nil {
		c.limit = min(c.limit, max(f.Errors, 1)) // it leaves warnings at least
	}
	if err = c.try(ctx, tries, mostSplits); err == nil && c.more(pairs) {
		err = c.try(ctx, pairs, mostPairs)
	}
	return c.best, err
}

// cutting is the search for the best split of a model.
type cutting struct {
	*Question
	whole   *mesh.Mesh
	ways    []wayUp
	downs   []mesh.Vec
	limit   int // so many errors are too many
	several bool
	had     int // parts of the whole
	best    *split
}

// try judges so many sets of planes, until one needs no more work than its cuts.
func (c *cutting) try(ctx context.Context, tries [][]plane, looks int) error {
	unfit := c.ways[0].Unfit
	for _, planes := range tries {
		pieces, err := along(work.Of(ctx), c.whole, planes)
		if errors.Is(err, cut.ErrSection) {
			continue
		}
		if err != nil {
			return err
		}
		if !unfit && !sound(pieces, c.several, c.whole.Volume()) {
			continue
		}
		if looks--; looks < 0 {
			break
		}
		s, err := c.judgePieces(ctx, planes, pieces, c.downs, c.limit)
		if err != nil {
			return err
		}
		if s == nil {
			continue
		}
		for _, p := range pieces {
			s.joints += len(lumps(p.mesh, c.several))
		}
		s.joints, s.whole = s.joints-c.had, c.whole
		if (unfit || s.adds(c.ways) == "" && s.pays(&c.ways[0])) && (c.best == nil || cmpSplits(s, c.best) < 0) {
			c.best = s
			c.limit = min(c.limit, s.count().Error+1)
		}
		if c.best != nil && c.best.joints == len(planes) && c.best.clean() {
			break // the planes that follow cost more
		}
	}
	return nil
}

// more says that pairs of planes are worth a look: the best cut leaves something, or its seam is
// so long that another cut is less work.
func (c *cutting) more(pairs [][]plane) bool {
	return c.best == nil || !c.best.clean() || len(pairs) > 0 && seamWork(pairs[0])+cutWork < seamWork(c.best.planes)
}

// seamWork adds up what the seams cost, in minutes.
func seamWork(planes []plane) (sum float64) {
	for i := range planes {
		sum += planes[i].seamWork()
	}
	return sum
}

// clean says that the rules find nothing on the pieces.
func (s *split) clean() bool { return s.count().Error+s.count().Warning == 0 }

// turnable says that it has an error that depends on how the model lies. What is too thin, or
// no whole surface, is so in pieces too, and what nothing joins to the rest needs no cut.
func (w *wayUp) turnable() bool {
	return slices.ContainsFunc(w.hits, func(h verdict.Hit) bool {
		return h.Level == finding.Error && slices.Contains(coarseMeasures, w.measureOf(h.Rule)) && !loose(&h)
	})
}

// loose says that a hit is about pieces that nothing joins to the rest.
func loose(h *verdict.Hit) bool {
	if h.Site == nil {
		return false
	}
	list := undersides(h.Site)
	return len(list) > 0 && !slices.ContainsFunc(list, func(u support.Underside) bool { return !u.Below.Loose })
}

// ways are the sets of planes that are worth a look, the best first: single ones, or as many as
// it takes to fit the bed, and pairs.
func (q *Question) ways(ctx context.Context, whole *mesh.Mesh, list []pose.Candidate, best *wayUp) (tries, more [][]plane, err error) {
	angle := verdict.OverhangAngle(q.AsItLies.View.Rules)
	if best.Unfit {
		tries, err = toFit(ctx, whole, q.AsItLies.View.Process.Bed, angle)
		return tries, nil, err
	}
	all, pairs, err := planes(ctx, whole, normals(whole, list), angle)
	for _, p := range all[:min(len(all), mostCuts)] {
		tries = append(tries, []plane{p})
	}
	for i := range pairs {
		more = append(more, pairs[i].planes[:])
	}
	return tries, more, err
}

// judgePieces judges the pieces of a model, until they have too many errors.
func (q *Question) judgePieces(ctx context.Context, planes []plane, pieces []*piece, downs []mesh.Vec, limit int) (*split, error) {
	if len(pieces) < 2 {
		return nil, nil
	}
	s := &split{planes: planes}
	for _, p := range pieces {
		l, err := q.lay(ctx, p, downs)
		if err != nil {
			return nil, err
		}
		s.pieces = append(s.pieces, l)
		if l.Unfit || s.count().Error >= limit {
			return nil, nil
		}
	}
	return s, nil
}

// along cuts a model along planes, one after the other, with holes for pins in the cuts.
func along(meter *work.Meter, whole *mesh.Mesh, planes []plane, holes ...finding.PinHole) ([]*piece, error) {
	pieces := []*piece{{mesh: whole, turn: mesh.Identity}}
	for i, p := range planes {
		var next []*piece
		for _, k := range pieces {
			parts, err := k.apart(meter, &p, i, holes)
			if err != nil {
				return nil, err
			}
			next = append(next, parts...)
		}
		pieces = next
	}
	return pieces, nil
}

// count adds up what the pieces leave.
func (s *split) count() (c finding.LevelCount) {
	for _, p := range s.pieces {
		k := p.outcome.count()
		c.Error, c.Warning, c.Note = c.Error+k.Error, c.Warning+k.Warning, c.Note+k.Note
	}
	return c
}

// work is what the pieces cost in minutes, with the seams made fit to be seen.
func (s *split) work() float64 {
	return s.toll().minutes + seamWork(s.planes)
}

// cmpSplits puts the better one first: fewer errors, then what support, joints and seams cost,
// fewer warnings.
func cmpSplits(a, b *split) int {
	return cmp.Or(
		cmp.Compare(a.count().Error, b.count().Error), cmp.Compare(worth(a.work()), worth(b.work())),
		cmp.Compare(a.joints, b.joints), cmp.Compare(a.count().Warning, b.count().Warning),
	)
}

// adds names a rule of which a piece has an error and the model has none in any way up that
// was judged, or nothing.
func (s *split) adds(ways []wayUp) string {
	old := map[string]bool{} // looked up only
	for i := range ways {
		for _, c := range ways[i].left() {
			old[c.Rule] = old[c.Rule] || c.Level == finding.Error
		}
	}
	for _, p := range s.pieces {
		for _, c := range p.left() {
			if c.Level == finding.Error && !old[c.Rule] {
				return c.Rule
			}
		}
	}
	return ""
}

// Apart returns the pieces of a model as they were advised: mended where that is needed, cut,
// with holes for pins where these were asked for, and each laid its best way up.
func Apart(ctx context.Context, m *mesh.Mesh, s *finding.Split) ([]*mesh.Mesh, error) {
	pieces, err := cutAgain(ctx, m, s)
	if err != nil {
		return nil, err
	}
	var laid []*mesh.Mesh
	for i, p := range pieces {
		laid = append(laid, p.laidAs(&s.Pieces[i]))
	}
	return laid, nil
}

// cutAgain cuts a model as it was advised.
func cutAgain(ctx context.Context, m *mesh.Mesh, s *finding.Split) ([]*piece, error) {
	whole, err := closed(ctx, m, treeOf(m))
	if err != nil {
		return nil, err
	}
	var planes []plane
	for _, p := range s.Planes {
		planes = append(planes, plane{normal: mesh.VecOf(p.Normal), offset: p.Offset})
	}
	var holes []finding.PinHole
	if s.Pins != nil {
		holes = s.Pins.Holes
	}
	return along(work.Of(ctx), whole, planes, holes...)
}

// laidAs is the piece laid as it was advised.
func (p *piece) laidAs(advised *finding.Piece) *mesh.Mesh {
	return p.posed(pose.MatrixTo(p.from(mesh.VecOf(advised.Pose.Down)))).mesh
}
