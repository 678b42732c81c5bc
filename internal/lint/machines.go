package lint

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// ownFindings are the findings of one machine, with what accepts them.
func ownFindings(model *finding.Model, v *verdict.Verdict, at []int) []finding.Finding {
	list := make([]finding.Finding, len(v.Hits))
	for i := range v.Hits {
		list[i] = v.Hits[i].Finding
		list[i].Waived, list[i].Worse = model.Findings[at[i]].Waived, model.Findings[at[i]].Worse
	}
	return list
}

// shortfalls are what could not be judged of a model on a machine. A machine that is named has
// the bed that it says: a model that fails there for its size is decided, however large it is.
func (j *judge) shortfalls(v *verdict.Verdict, own []finding.Finding) []verdict.Shortfall {
	list := v.Undecided(j.limit)
	if len(j.machines) == 0 || !failsBySize(v, own) {
		return list
	}
	return slices.DeleteFunc(list, func(s verdict.Shortfall) bool { return s.TooLarge })
}

func failsBySize(v *verdict.Verdict, own []finding.Finding) bool {
	return slices.ContainsFunc(own, func(f finding.Finding) bool {
		return f.Level == finding.Error && f.Counts() && slices.ContainsFunc(v.View.Rules, func(r *ruleset.Rule) bool {
			return r.ID == f.Rule && r.Measure == measure.Size.Name()
		})
	})
}

// byMachine is what each machine makes of a model.
func (j *judge) byMachine(model *finding.Model, list []*verdict.Verdict, u *verdict.Union) []finding.OnMachine {
	var out []finding.OnMachine
	for k, name := range j.names() {
		on := finding.OnMachine{Machine: name}
		var why []string
		own := ownFindings(model, list[k], u.At[k])
		for _, s := range j.shortfalls(list[k], own) {
			why = append(why, shortfallWords(s))
		}
		on.Undecided = strings.Join(why, "; ")
		on.Words = worst(own)
		out = append(out, on)
	}
	model.Machines = out
	model.CountMachines()
	return out
}

func shortfallWords(s verdict.Shortfall) string {
	if s.Cure == "" {
		return s.Why
	}
	return s.Why + "; " + s.Cure
}

// worst is what the worst finding says that counts and is an error or a warning.
func worst(list []finding.Finding) string {
	list = slices.DeleteFunc(list, func(f finding.Finding) bool { return !f.Counts() || f.Level.Rank() > finding.Warning.Rank() })
	if len(list) == 0 {
		return ""
	}
	f := slices.MinFunc(list, func(a, b finding.Finding) int {
		return cmp.Or(cmp.Compare(a.Level.Rank(), b.Level.Rank()), cmp.Compare(b.Past(), a.Past()))
	})
	return f.FullMessage()
}

// undecided lists what could not be judged on the machines that count, each reason once,
// with the machines that it is about where these are not all.
func (j *judge) undecided(model *finding.Model, list []*verdict.Verdict, u *verdict.Union) []verdict.Shortfall {
	if len(j.machines) == 0 {
		return list[0].Undecided(j.limit)
	}
	var reasons []verdict.Shortfall
	var on [][]string
	for k, m := range j.machines {
		for _, s := range j.shortfalls(list[k], ownFindings(model, list[k], u.At[k])) {
			i := slices.Index(reasons, s)
			if i < 0 {
				i = len(reasons)
				reasons, on = append(reasons, s), append(on, nil)
			}
			on[i] = append(on[i], m.Name)
		}
	}
	var count []verdict.Shortfall
	for i, s := range reasons {
		switch {
		case !slices.ContainsFunc(on[i], j.where.Counts):
			continue
		case len(on[i]) < len(list):
			s.Why = fmt.Sprintf("on %s: %s", words.Listed(on[i]), s.Why)
		}
		count = append(count, s)
	}
	return count
}

// fillMachines says of a model that was not judged on any machine why that is so.
func (j *judge) fillMachines(list []entry) {
	for i := range list {
		m := &list[i].Model
		if m.Kind == KindConfig || m.Status == finding.Skipped || len(m.Machines) > 0 {
			continue
		}
		for _, name := range j.names() {
			m.Machines = append(m.Machines, finding.OnMachine{Machine: name, Undecided: m.Reason})
		}
	}
}

// aboutMachines is what the report says of the machines, and how their verdicts make one.
func (j *judge) aboutMachines(r *finding.Report) {
	for _, m := range j.machines {
		r.Machines = append(r.Machines, m.About())
	}
	r.Where = j.where
}

// whereOf says how the verdicts of the machines that were chosen make one. Of those that the
// configuration names, others do not count; where none of them was chosen, any of the chosen
// does, since nothing could close the gate else.
func whereOf(config *ruleset.Config, chosen []*ruleset.Machine) *finding.FailWhere {
	if len(chosen) == 0 {
		return nil
	}
	where := *config.Where
	where.Names = slices.DeleteFunc(slices.Clone(where.Names), func(name string) bool {
		return !slices.ContainsFunc(chosen, func(m *ruleset.Machine) bool { return m.Name == name })
	})
	if where.Policy == finding.FailOnNamed && len(where.Names) == 0 {
		where.Policy, where.Names = finding.FailOnAny, nil
	}
	return &where
}
