package advise

import (
	"cmp"
	"context"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/pose"
)

// figures are what ways up are ranked by.
type figures struct {
	Errors, Warnings, Notes int
	// Unfit says that it cannot be printed so: it does not fit, or cannot be judged.
	// Falls says that it falls over by itself, support or no.
	Unfit, Falls bool
	// Uncured, Carried and Warned count rules, each once however often it holds: those of
	// errors that support does not cure, of errors that it does, and of warnings.
	Uncured, Carried, Warned int
	Minutes                  float64 // that support takes
	Base                     float64 // contact with the bed, mm2
	Scars                    float64 // area that support touches, mm2
	Rough                    float64 // area of undersides that rules warn of, mm2
	Risk                     float64 // minutes of the print that an unsteady foot puts at stake
}

// clean says that nothing worse than a note is left, without support.
func (f *figures) clean() bool { return f.Errors == 0 && f.Warnings == 0 && f.Minutes == 0 }

// wayUp is a way up that the rules were applied to.
type wayUp struct {
	pose.Candidate
	*outcome
}

// judge takes the real measures of the model with down at the bed and applies the
// real rules. A coarse look may be less exact, and must then be cheaper.
type judge func(ctx context.Context, down mesh.Vec, coarse bool) (*outcome, error)

// effort is how many candidates are judged coarsely, and how many of these are judged in
// full, beside the model as it lies.
type effort struct{ coarse, full int }

// How many clean ways up end a look: more would only be more of the same.
const (
	enoughCoarse = 6
	enoughFull   = 2
)

// best looks for ways up among candidates, as it lies first of them: the cheap score picks
// some, a coarse look picks some of these, and those are judged in full, fewer where several
// are clean. The model as it lies is always judged and comes first while it is clean; then
// the look at others is short. They follow from the best to the worst. With an error
// come those that were judged in full before it.
func best(ctx context.Context, list []pose.Candidate, judge judge, spend effort) ([]wayUp, error) {
	best, err := judgeAll(ctx, list[:1], judge, false, 2)
	if err != nil {
		return nil, err
	}
	if best[0].clean() {
		spend = effort{(spend.coarse + 2) / 3, min(spend.full, 1)}
	}
	passes := best[0].Errors == 0
	looked, err := judgeAll(ctx, pose.Pick(list[1:], spend.coarse), judge, true, enoughCoarse)
	if err != nil {
		return best, err
	}
	sortWays(looked, passes)
	if passes { // what would fail is not worth a full look
		looked = slices.DeleteFunc(looked, func(w wayUp) bool { return w.Errors > 0 })
	}
	others, err := judgeAll(ctx, unlike(looked, spend.full), judge, false, enoughFull)
	best = append(best, others...)
	sortWays(best, passes)
	return best, err
}

// unlike takes the first n ways up that do not come to the same as an earlier one: of
// the mirrored sides of a body one is enough.
func unlike(list []wayUp, n int) []pose.Candidate {
	var different []wayUp
	var chosen []pose.Candidate
	for i := 0; i < len(list) && len(different) < n; i++ {
		if !slices.ContainsFunc(different, func(k wayUp) bool { return alike(&k, &list[i]) }) {
			different = append(different, list[i])
			chosen = append(chosen, list[i].Candidate)
		}
	}
	return chosen
}

// judgeAll judges one after the other until enough of them are clean, or one cannot be
// judged.
func judgeAll(ctx context.Context, list []pose.Candidate, judge judge, coarse bool, enough int) ([]wayUp, error) {
	var ways []wayUp
	for _, c := range list {
		if err := ctx.Err(); err != nil {
			return ways, err
		}
		out, err := judge(ctx, c.Down, coarse)
		if err != nil {
			return ways, err
		}
		if coarse {
			out = &outcome{figures: out.figures} // findings may be thousands, and nobody asks for these
		}
		ways = append(ways, wayUp{c, out})
		if out.clean() {
			enough--
		}
		if enough == 0 {
			break
		}
	}
	return ways, nil
}

// sortWays orders ways up from the best to the worst by what happens to a print: whether
// it can be printed, whether it stands, errors that remain with support, what
// support, rough faces and an unsteady foot cost, of equals the firmer foot, errors that it cures,
// warnings, then bed contact, height and the fixed order of
// directions. A rule counts once, since four small ledges are no worse than one large
// one. Values are rounded first, so that ways up which only the raster tells apart are
// equals. A model that is clean as it lies is left in peace. Of one that passes as it lies,
// with warnings, what would fail comes last.
func sortWays(list []wayUp, passes bool) {
	gate := func(w *wayUp) int {
		if passes && w.Errors > 0 {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(list, func(a, b wayUp) int {
		return cmp.Or(
			cmp.Compare(gate(&a), gate(&b)),
			cmp.Compare(a.fails(), b.fails()),
			cmp.Compare(a.Uncured, b.Uncured),
			cmp.Compare(worth(a.weight()), worth(b.weight())),
			cmp.Compare(worth(a.Risk), worth(b.Risk)),
			cmp.Compare(a.Carried, b.Carried),
			cmp.Compare(a.Warned, b.Warned),
			cmpLying(&a, &b),
			-cmp.Compare(step(a.Base), step(b.Base)),
			cmp.Compare(step(a.Height), step(b.Height)),
			cmp.Compare(turns(&a), turns(&b)),
			pose.CompareDown(a.Down, b.Down),
		)
	})
}

// turns is how many axes a model is turned about to bring a way up down.
func turns(w *wayUp) int {
	if t := pose.TurningTo(w.Down); t.AboutZ != 0 {
		return 2
	}
	return 1
}

// fails is 2 for a way up that cannot be printed, since it does not fit, or has nothing to lie on
// and falls over; and 1 for one that falls over or leaves errors and nothing to lie on.
func (w *wayUp) fails() int {
	switch {
	case w.Unfit, w.Falls && w.Contact < pose.LyingFrom:
		return 2
	case w.Falls, w.Uncured > 0 && w.Tip <= 0, w.Origin != pose.AsItLies && w.Uncured > 0 && w.Contact < pose.LyingFrom:
		return 1
	}
	return 0
}

// How many mm2 of face weigh as much as a minute of support: what a knife and sandpaper make
// fit to be seen in it where support was torn off, and of strands that hang a little, which
// mostly stay as they are. Judgement, no source.
const (
	cleaned = 50.0
	left    = 300.0
)

// The shares of a print's time that are lost on the average, by the prints that come loose,
// where next to nothing lies flat, where little does, where it stands unsteadily, where
// only support keeps it from falling over, and where only the bed's hold does.
// Judgement, no source.
const (
	balancing = 0.4
	smallFoot = 0.15
	unsteady  = 0.3
	heldUp    = 0.5
	clinging  = 0.7
)

// burden is what support, rough faces and an unsteady foot cost, in minutes.
func (f *figures) burden() float64 { return f.Minutes + f.Scars/cleaned + f.Rough/left + f.Risk }

// weight is the burden; of the model as it lies it is a little less, since what another way
// up gains must be worth turning it.
func (w *wayUp) weight() float64 {
	if w.Origin == pose.AsItLies {
		return max(float64(0.9*w.burden())-littleBurden, 0)
	}
	return w.burden()
}

// cmpLying puts the model as it lies before its equals: turning it must gain something. Where
// it lies a little askew, laying it flat comes before what turns it to another side.
func cmpLying(a, b *wayUp) int {
	lying := func(w *wayUp) int {
		switch {
		case w.Origin == pose.AsItLies:
			return 0
		case w.Origin == pose.Rest && askew(w.Down) > 0:
			return 1
		}
		return 2
	}
	return cmp.Compare(lying(a), lying(b))
}

// alike says that two ways up come to the same.
func alike(a, b *wayUp) bool {
	return a.Errors == b.Errors && a.Warnings == b.Warnings && a.Notes == b.Notes && a.Alike(&b.Candidate)
}

// littleBurden is what nobody turns a model for, in minutes. Judgement, no source.
const littleBurden = 0.5

// worth is step for minutes, of which a little counts as none.
func worth(minutes float64) float64 {
	if minutes < littleBurden {
		return 0
	}
	return step(60 * minutes)
}

// step makes values equal that differ by less than about a tenth.
func step(x float64) float64 {
	if x < 1 {
		return 0
	}
	return math.Round(math.Log(x) * 10)
}
