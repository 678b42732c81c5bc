// Package advise says which other ways up of a model leave less to find fault with, and
// what support the best of them needs. It judges poses by the same rules as the model as
// it lies, through verdict; pose finds the ways up and support plans what stands below.
package advise

import (
	"context"
	"errors"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// Options say for which models to look for other ways up, and how far.
type Options struct {
	// Depth is how far to look.
	Depth Depth
	// Down, when not nil, is the one way up to judge beside the model as it lies.
	Down *mesh.Vec
	// Pins asks for holes for pins in the pieces of a model that is to be cut.
	Pins bool
}

// Depth is how far to look for other ways up.
type Depth int

// How far to look.
const (
	None  Depth = iota
	Short       // for models with findings that another way up may change
	Full        // for every model
)

// The cost of advice: how many ways up get a coarse look, how many of them a full one.
// A coarse look costs about an eighth of a full one, as the gate takes it.
var (
	shortLook = effort{coarse: 12, full: 2}
	fullLook  = effort{coarse: 16, full: 3}
)

// shownPoses is how many ways up are told of, as it lies among them.
const shownPoses = 4

// Question is one model that advice is asked for. Nothing of it is changed.
type Question struct {
	Options
	// AsItLies is the verdict on the model as it lies, with Extra measured beside what the
	// rules ask for.
	AsItLies *verdict.Verdict
	// Findings are those of that verdict, with what accepts them.
	Findings []finding.Finding
	// Config has the waivers, which hold in every pose. They are looked up by Path, the one
	// that rules are written against, and Part.
	Config     *ruleset.Config
	Path, Part string
	// Jobs bounds the goroutines that measure.
	Jobs int
}

// Asked says whether the depth asks for advice on the model at all.
func (q *Question) Asked() bool {
	return q.Depth == Full || q.Depth == Short && slices.ContainsFunc(q.Findings, q.turnable)
}

// turnable says that a finding is one which another way up may change.
func (q *Question) turnable(f finding.Finding) bool {
	if f.Waived != nil || f.Level.Rank() > finding.Warning.Rank() {
		return false
	}
	rules := q.AsItLies.View.Rules
	k := slices.IndexFunc(rules, func(r *ruleset.Rule) bool { return r.ID == f.Rule })
	return k >= 0 && verdict.Turns(rules[k])
}

// Answer searches, or judges the one way up that was asked for, and tells of it. Where the
// limit of work, which the context carries, cuts the search short, it tells of what was
// judged until then beside the error, if the model as it lies is among that.
func (q *Question) Answer(ctx context.Context) (*finding.Advice, error) {
	best, list, err := q.best(ctx)
	if err != nil && !(errors.Is(work.Of(ctx).Err(), work.ErrLimit) && slices.ContainsFunc(best, isAsItLies)) {
		return nil, err
	}
	advice, told := q.advice(ctx, best, err != nil)
	if told != nil {
		return nil, told
	}
	if err != nil {
		advice.Words = "the search was cut short; so far, " + advice.Words
		return advice, err
	}
	f, s, err := q.addCuts(ctx, advice, best, list)
	if err != nil {
		return advice, err
	}
	e, err := q.addEdits(ctx, advice, best)
	if err != nil || q.Down != nil || best[0].clean() || q.Depth == Short && best[0].Errors == 0 {
		return advice, err
	}
	advice.Choices, err = q.choices(ctx, advice, best, f, s, e)
	return advice, atLimit(advice, err, "what each of these costs was not added up")
}

// atLimit drops an error that says no more than that the limit of work ended a further look,
// and notes which: it takes nothing from the advice.
func atLimit(advice *finding.Advice, err error, unended string) error {
	if errors.Is(err, work.ErrLimit) || errors.Is(err, work.ErrTooMuch) {
		advice.Words += "; " + unended
		return nil
	}
	return err
}

// addEdits tells of small solids to add, where they help.
func (q *Question) addEdits(ctx context.Context, advice *finding.Advice, best []wayUp) (*edited, error) {
	e, err := q.edits(ctx, best)
	if e != nil {
		advice.Edits = e.report(&best[slices.IndexFunc(best, isAsItLies)])
	}
	return e, atLimit(advice, err, "what could be added was not looked for to the end")
}

// addCuts tells of a flat to cut, or of pieces, where these help.
func (q *Question) addCuts(ctx context.Context, advice *finding.Advice, best []wayUp, list []pose.Candidate) (*flat, *split, error) {
	lies := &best[slices.IndexFunc(best, isAsItLies)]
	f, err := q.flat(ctx, best)
	if f != nil {
		advice.Cut = f.report(lies)
		advice.Words += "; " + f.words(lies, "if its designer agrees, ")
	}
	var s *split
	if err == nil {
		if s, err = q.split(ctx, list, best, f); s != nil && q.Pins && err == nil {
			err = q.addPins(ctx, s)
		}
		if s != nil {
			advice.Split = s.report(lies)
			advice.Words += "; or, if its designer agrees, " + advice.Split.Words
		}
	}
	if errors.Is(err, errOpen) || errors.Is(err, errPieces) {
		advice.Words += "; " + err.Error()
		return f, s, nil
	}
	return f, s, atLimit(advice, err, "where to cut it was not looked for to the end")
}

// best judges ways up, the best first.
func (q *Question) best(ctx context.Context) ([]wayUp, []pose.Candidate, error) {
	m, angle := q.AsItLies.Mesh, verdict.OverhangAngle(q.AsItLies.View.Rules)
	if q.Down != nil {
		list, err := pose.Given(ctx, m, *q.Down, angle)
		if err != nil {
			return nil, nil, err
		}
		ways, err := judgeAll(ctx, list, q.at, false, len(list)+1)
		return ways, list, err
	}
	list, err := pose.Candidates(ctx, m, angle)
	if err != nil {
		return nil, nil, err
	}
	look := shortLook
	if q.Depth == Full {
		look = fullLook
	}
	ways, err := best(ctx, list, q.at, look)
	return ways, list, err
}
