package pose

import (
	"cmp"
	"context"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Verdict is what a judge says of one way up.
type Verdict struct {
	Errors, Warnings, Notes int
	Support                 float64 // volume of support it needs, mm3
	Base                    float64 // contact with the bed, mm2
	Scars                   float64 // area that support touches, mm2
	// Detail is whatever the judge wants back.
	Detail any
}

// Clean says that nothing worse than a note is left.
func (v *Verdict) Clean() bool { return v.Errors == 0 && v.Warnings == 0 }

// Judged is a way up that the real rules were applied to.
type Judged struct {
	Candidate
	Verdict
}

// Judge takes the real measures of the model with down at the bed and applies the
// real rules. A coarse look may be less exact, and must then be cheaper.
type Judge func(ctx context.Context, down mesh.Vec, coarse bool) (Verdict, error)

// enoughSeen and enoughBest are how many clean ways up end a look: more would only be
// more of the same.
const (
	enoughSeen = 6
	enoughBest = 2
)

// Best looks for ways up: the cheap score picks opt.Screen of the candidates, a coarse
// look picks opt.Judge of these, and those are judged in full, fewer where several are
// clean. The model as it lies is always judged and comes first while it is clean; then
// the look at others is short. They follow from the best to the worst. With an error
// come those that were judged in full before it.
func Best(ctx context.Context, m *mesh.Mesh, judge Judge, opt Options) ([]Judged, error) {
	opt.Meter = work.Of(ctx)
	list := Candidates(m, opt)
	if err := opt.Meter.Err(); err != nil {
		return nil, err
	}
	best, err := judgeAll(ctx, list[:1], judge, false, 2)
	if err != nil {
		return nil, err
	}
	if best[0].Clean() {
		opt.Screen, opt.Judge = (opt.Screen+2)/3, min(opt.Judge, 1)
	}
	seen, err := judgeAll(ctx, pick(list[1:], opt.Screen), judge, true, enoughSeen)
	if err != nil {
		return best, err
	}
	sortJudged(seen)
	others, err := judgeAll(ctx, unlike(seen, opt.Judge), judge, false, enoughBest)
	best = append(best, others...)
	sortJudged(best)
	return best, err
}

// unlike takes the first n ways up that do not come to the same as an earlier one: of
// the mirrored sides of a body one is enough.
func unlike(list []Judged, n int) []Candidate {
	var kept []Judged
	var chosen []Candidate
	for i := 0; i < len(list) && len(kept) < n; i++ {
		if !slices.ContainsFunc(kept, func(k Judged) bool { return Alike(&k, &list[i]) }) {
			kept = append(kept, list[i])
			chosen = append(chosen, list[i].Candidate)
		}
	}
	return chosen
}

// judgeAll judges one after the other until enough of them are clean, or one cannot be
// judged.
func judgeAll(ctx context.Context, list []Candidate, judge Judge, coarse bool, enough int) ([]Judged, error) {
	var out []Judged
	for _, c := range list {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		v, err := judge(ctx, c.Down, coarse)
		if err != nil {
			return out, err
		}
		if coarse {
			v.Detail = nil // of thousands of findings; nobody asks for those of a coarse look
		}
		out = append(out, Judged{c, v})
		if v.Clean() {
			enough--
		}
		if enough == 0 {
			break
		}
	}
	return out, nil
}

// pickApart is how far directions must differ, in degrees, to be looked at both, but
// for those that rest on a face.
const pickApart = 8.0

// pick chooses n candidates, by turns the next best of those that rest on a face and
// the next best of all.
func pick(list []Candidate, n int) []Candidate {
	limit := math.Cos(pickApart * math.Pi / 180)
	var chosen []Candidate
	rests := func(c *Candidate) bool { return c.Contact >= restsFrom && c.Tip > 0 }
	next := func(from int, rest bool) int {
		for i := from; i < len(list); i++ {
			c := &list[i]
			if rest && !rests(c) {
				continue
			}
			near := func(k Candidate) bool {
				return k.Down == c.Down || !(rest && rests(&k)) && k.Down.Dot(c.Down) > limit
			}
			if !slices.ContainsFunc(chosen, near) {
				chosen = append(chosen, *c)
				return i + 1
			}
		}
		return len(list)
	}
	resting, any := 0, 0
	for len(chosen) < n && (resting < len(list) || any < len(list)) {
		resting = next(resting, true)
		if len(chosen) < n {
			any = next(any, false)
		}
	}
	return chosen
}

// sortJudged orders ways up from the best to the worst: errors, warnings, support,
// bed contact, scars, height, then the fixed order of directions. Values are rounded
// first, so that ways up which only the raster tells apart are equals. A model that is
// clean as it lies is left in peace, and nobody is told to stand it on an edge where
// that leaves errors.
func sortJudged(list []Judged) {
	slices.SortStableFunc(list, func(a, b Judged) int {
		return cmp.Or(
			cmp.Compare(a.balances(), b.balances()),
			cmp.Compare(a.Errors, b.Errors),
			cmp.Compare(a.Warnings, b.Warnings),
			cmpStays(&a, &b),
			cmp.Compare(worth(a.Support), worth(b.Support)),
			cmpLying(&a, &b),
			-cmp.Compare(step(a.Base), step(b.Base)),
			cmp.Compare(step(a.Scars), step(b.Scars)),
			cmp.Compare(step(a.Height), step(b.Height)),
			cmpDown(a.Down, b.Down),
		)
	})
}

// balances is 1 for a way up that leaves errors and nothing to lie on.
func (j *Judged) balances() int {
	if j.Kind != AsItLies && j.Errors > 0 && j.Contact < LyingFrom {
		return 1
	}
	return 0
}

// cmpStays puts the model as it lies before other ways up where it is clean.
func cmpStays(a, b *Judged) int {
	if !a.Clean() || !b.Clean() {
		return 0
	}
	return cmpLying(a, b)
}

// cmpLying puts the model as it lies before its equals: turning it must gain something.
func cmpLying(a, b *Judged) int {
	lying := func(j *Judged) int {
		if j.Kind == AsItLies {
			return 0
		}
		return 1
	}
	return cmp.Compare(lying(a), lying(b))
}

// Alike says that two ways up come to the same, as on a round or a mirrored body.
func Alike(a, b *Judged) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= 0.02*max(x, y)+0.1 }
	return a.Errors == b.Errors && a.Warnings == b.Warnings && a.Notes == b.Notes &&
		near(a.Contact, b.Contact) && near(a.Height, b.Height) && near(a.Hang, b.Hang)
}

// littleSupport is the volume in mm3 that nobody turns a model for: a tenth of a gram.
const littleSupport = 100

// worth is step for support, of which a little counts as none.
func worth(support float64) float64 {
	if support < littleSupport {
		return 0
	}
	return step(support)
}

// step makes values equal that differ by less than about a tenth.
func step(x float64) float64 {
	if x < 1 {
		return 0
	}
	return math.Round(math.Log(x) * 10)
}

// Given judges one way up beside the model as it lies, and puts it first.
func Given(ctx context.Context, m *mesh.Mesh, down mesh.Vec, judge Judge, opt Options) ([]Judged, error) {
	tally := work.Of(ctx).Tally()
	s := newSurface(m, opt.Lean, &tally)
	list := distinct([]Candidate{s.score(Down, AsItLies), s.score(down, Axis)})
	slices.Reverse(list)
	if err := tally.Close(); err != nil {
		return nil, err
	}
	return judgeAll(ctx, list, judge, false, len(list)+1)
}
