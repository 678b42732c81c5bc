package lint

import (
	"context"
	"fmt"
	"slices"
	"time"

	"printlint/internal/advise"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// judge judges models by one configuration, for one machine or several.
type judge struct {
	usage    *ruleset.Usage
	machines []*ruleset.Machine // none where the configuration itself says what is printed with
	where    *finding.FailWhere // which of them count
	advice   advise.Options
	observer Observer
	limit    time.Duration // for words; the context holds the model to it
	figures  bool          // that a comparison tells of are taken too
}

// views are the rules that hold for a path, by machine.
func (j *judge) views(path string) []*ruleset.View {
	if len(j.machines) == 0 {
		return []*ruleset.View{j.usage.For(path)}
	}
	list := make([]*ruleset.View, len(j.machines))
	for i, m := range j.machines {
		list[i] = m.For(path)
	}
	return list
}

// names are those of the machines.
func (j *judge) names() (names []string) {
	for _, m := range j.machines {
		names = append(names, m.Name)
	}
	return names
}

// judge takes what the rules ask for and fills in measures, findings and advice. The path is
// the one that rules are written against.
func (j *judge) judge(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) error {
	model := &e.Model
	list, err := j.verdicts(ctx, e, path, m, jobs)
	if err != nil {
		return err
	}
	lay := list[0].View.Lay // the same for all machines
	if j.posed(lay) != measure.AsIs {
		model.Notes = append(model.Notes, "judged another way up, as the configuration says: "+pose.TurningTo(mesh.VecOf(lay.Down)).String())
	}
	u, err := j.fill(model, list, path)
	if err != nil {
		return err
	}
	if model.Status != finding.Undecided {
		if err := j.adviseAll(ctx, model, list, u, path, jobs); err != nil {
			return err
		}
	}
	if lay.Free && model.Status != finding.Undecided {
		turned, err := j.turnFree(ctx, model, list, path, jobs)
		if err == nil && turned {
			u, err = j.fill(model, list, path)
		}
		if err != nil {
			return err
		}
	}
	return j.show(ctx, model, list[0], u.Hits)
}

// fill puts what verdicts say into the report on a model; advice that is there stays.
func (j *judge) fill(model *finding.Model, list []*verdict.Verdict, path string) (*verdict.Union, error) {
	var err error
	if model.Measures, err = list[0].Measures(); err != nil {
		return nil, err
	}
	u := verdict.Unite(list)
	model.Findings = u.Findings(j.names())
	j.waive(path, model)
	if j.figures {
		model.Figures = figuresOf(list[0])
	}
	before := model.Machines
	model.Machines = j.byMachine(model, list, u)
	for k := range before {
		model.Machines[k].Advice = before[k].Advice
	}
	for _, s := range j.undecided(model, list, u) {
		model.Undecide(s.Why, s.Cure)
	}
	return u, nil
}

// verdicts judges a model for each machine. What does not depend on the machine is measured
// once.
func (j *judge) verdicts(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) ([]*verdict.Verdict, error) {
	var extra []measure.Request
	views, opt := j.views(path), measure.Options{Jobs: jobs}
	if j.depth(views[0].Lay) != advise.None && len(m.Tris) > 0 {
		extra = advise.Extra
	}
	if j.figures {
		extra = append(slices.Clip(extra), figureRequests(views[0])...)
	}
	first := verdict.New(m, e.Part, views[0], extra...)
	first.Body.File = e.file
	first.Body.KeepPoses = len(views) > 1 && j.advisesEach(views[0].Lay)
	subjects := make([]*verdict.Subject, len(views))
	asked := make([]measure.Asked, len(views))
	for i, view := range views {
		if subjects[i] = first; i > 0 {
			subjects[i] = first.By(view, extra...)
		}
		asked[i] = measure.Asked{Process: view.Process, Requests: subjects[i].Requests}
	}
	results, err := first.Body.MeasureAll(ctx, j.posed(views[0].Lay), opt, asked)
	if err != nil {
		return nil, err
	}
	list := make([]*verdict.Verdict, len(views))
	for i, s := range subjects {
		if list[i], err = s.Judge(results[i]); err != nil {
			return nil, err
		}
		if err := j.askLater(ctx, list[i], path, e.Part, jobs); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// adviseAll looks for other ways up: in full for each machine, or a short look for the first
// on which one may help, those before all others on which the model fails.
func (j *judge) adviseAll(ctx context.Context, model *finding.Model, list []*verdict.Verdict, u *verdict.Union, path string, jobs int) error {
	lay, opt := list[0].View.Lay, j.advice
	opt.Depth = j.depth(lay)
	each := j.advisesEach(lay)
	for _, k := range j.inOrder(model, each) {
		v := list[k]
		q := &advise.Question{
			Options: opt, AsItLies: v, Findings: ownFindings(model, v, u.At[k]), Config: j.usage.Config, Path: path, Part: model.Part, Jobs: jobs,
		}
		if !q.Asked() || slices.ContainsFunc(v.Undecided(j.limit), func(s verdict.Shortfall) bool { return s.TooLarge }) {
			continue
		}
		advice, err := j.advise(ctx, model, q)
		if err != nil {
			return err
		}
		if len(j.machines) > 0 {
			model.Machines[k].Advice = advice
		}
		if model.Advice == nil {
			model.Advice = advice
		}
		if !each || model.Status == finding.Undecided {
			break
		}
	}
	return nil
}

// inOrder are the machines in the order in which they are asked, by index: where not each of
// them is, those first on which the model fails.
func (j *judge) inOrder(model *finding.Model, each bool) []int {
	order := make([]int, max(1, len(j.machines)))
	for k := range order {
		order[k] = k
	}
	if !each && len(j.machines) > 0 {
		slices.SortStableFunc(order, func(a, b int) int {
			return min(1, model.Machines[b].Findings.Error) - min(1, model.Machines[a].Findings.Error)
		})
	}
	return order
}

// advise looks for other ways up. A short look is only an aside: what was found stands,
// whatever becomes of it, and half a search is told of as what it is, without its result,
// since which way up is best depends on those that were not looked at.
func (j *judge) advise(ctx context.Context, model *finding.Model, q *advise.Question) (advice *finding.Advice, err error) {
	if q.Depth == advise.Short {
		defer func() {
			if caught := recover(); caught != nil {
				err = Crashed(caught)
			}
			if err != nil {
				model.Notes, err = append(model.Notes, "other ways up were not looked for: "+err.Error()), nil
			}
		}()
	}
	advice, err = q.Answer(ctx)
	cut := fmt.Sprintf("the search for other ways up was cut short by the limit of %v of work", j.limit)
	switch {
	case err == nil:
		return advice, nil
	case !atLimit(ctx):
		return nil, err
	case q.Depth == advise.Short:
		model.Notes = append(model.Notes, cut)
		return nil, nil
	}
	model.Undecide(cut, measure.LimitCure)
	return advice, nil
}

// Unit is the mm of one unit of a file that names none, by its path for the rules.
func Unit(config *ruleset.Config, rules string) float64 {
	return config.For(rules).Unit.Factor
}
