package lint

import (
	"context"

	"printlint/internal/advise"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// posed is the way up that a model is judged in. A full look at ways up starts from how it
// lies, whatever is meant with it.
func (j *judge) posed(lay ruleset.Lay) measure.Pose {
	if lay.Down == [3]float64{} || j.advice.Depth == advise.Full {
		return measure.AsIs
	}
	return measure.Pose{M: pose.MatrixTo(mesh.VecOf(lay.Down))}
}

// depth is how far to look for other ways up: of a model that may be turned, always.
func (j *judge) depth(lay ruleset.Lay) advise.Depth {
	switch {
	case lay.Free && j.advice.Depth == advise.None:
		return advise.Short
	case lay.Down != [3]float64{} && j.advice.Depth == advise.Short:
		return advise.None // it was said which way up it is meant
	}
	return j.advice.Depth
}

// advisesEach says that other ways up are looked for on every machine, and not only on the
// first on which one may help.
func (j *judge) advisesEach(lay ruleset.Lay) bool {
	return lay.Free || j.depth(lay) == advise.Full
}

// turnFree replaces the verdicts of a model that may be turned by those in its best way up,
// where that leaves fewer errors, and says so.
func (j *judge) turnFree(ctx context.Context, model *finding.Model, list []*verdict.Verdict, path string, jobs int) (turned bool, err error) {
	opt := measure.Options{Jobs: jobs}
	for k, v := range list {
		advice, on := model.Advice, ""
		if len(j.machines) > 0 {
			advice, on = model.Machines[k].Advice, "on "+j.machines[k].Name+" "
		}
		if advice == nil || advice.Poses[0].Matrix == mesh.Identity || advice.Poses[0].Findings.Error >= errorsOf(v) {
			continue
		}
		best := &advice.Poses[0]
		results, err := v.Body.Measure(ctx, measure.Pose{M: best.Matrix}, v.View.Process, opt, v.Requests)
		if err != nil {
			return turned, err
		}
		if list[k], err = v.Judge(results); err != nil {
			return turned, err
		}
		if err := j.askLater(ctx, list[k], path, model.Part, jobs); err != nil {
			return turned, err
		}
		turned = true
		model.Notes = append(model.Notes, "it may be turned, and is judged "+on+"as it prints best: "+best.Words)
	}
	return turned, nil
}

func errorsOf(v *verdict.Verdict) (n int) {
	for i := range v.Hits {
		if v.Hits[i].Level == finding.Error {
			n++
		}
	}
	return n
}

// askLater asks the rules that need what the others found.
func (j *judge) askLater(ctx context.Context, v *verdict.Verdict, path, part string, jobs int) error {
	if err := v.AskUnit(ctx, measure.Options{Jobs: jobs}); err != nil {
		return err
	}
	waived := func(h *verdict.Hit) bool { return j.usage.Waiver(path, part, h.Rule, h.Box) != nil }
	if err := advise.JudgeSupport(ctx, v, waived); err != nil {
		return err
	}
	return j.hold(ctx, v, path, part, jobs)
}

// hold makes notes of what only falls over without support, where a model is meant to be printed
// with it and its plan stands where it holds.
func (j *judge) hold(ctx context.Context, v *verdict.Verdict, path, part string, jobs int) error {
	if !v.View.Supported {
		return nil
	}
	q := &advise.Question{AsItLies: v, Config: j.usage.Config, Path: path, Part: part, Jobs: jobs}
	held, err := q.Held(ctx)
	for _, i := range held {
		v.Hits[i].Carry()
	}
	return err
}
