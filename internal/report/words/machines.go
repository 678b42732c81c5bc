package words

import (
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
)

// maxNames is how many machines a sentence names before it only counts them. Judgement.
const maxNames = 4

// Only says in brackets on which machines a finding holds, and whose figures it tells of where
// these differ; it is empty where it holds on all of them alike.
func Only(f *finding.Finding) string {
	var says []string
	if len(f.On) > 0 {
		says = append(says, "on "+Listed(f.On))
	}
	switch {
	case f.WorstOn == "":
	case f.Past() > 1:
		says = append(says, "worst on "+f.WorstOn)
	default: // no figure says on which it is worse, as with beds that are all too small
		says = append(says, "as on "+f.WorstOn)
	}
	if len(says) == 0 {
		return ""
	}
	return " (" + Safe(strings.Join(says, ", ")) + ")"
}

// Listed writes names as a sentence does: "a, b and c".
func Listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// State is what became of a model, on one machine or on all.
type State string

// The states, the worst first.
const (
	Unread State = "unread" // not judged, or not whole
	Fail   State = "fail"
	Look   State = "look" // it has a warning
	Fine   State = "fine"
	Left   State = "left" // skipped
)

// accepted is, where sentences tell of it, a model that would fail but for what was accepted.
const accepted State = "accepted"

// Cell is a model on a machine, as a table of models by machines has it.
type Cell struct {
	State State
	Words string
}

// Matrix is a row of that table: a cell for each machine of the report, in its order. It is
// empty where the run knew only one machine, and for what is no model.
func Matrix(r *finding.Report, m *finding.Model) []Cell {
	if m.Kind == finding.KindConfig {
		return nil
	}
	var row []Cell
	for i := range r.Machines {
		row = append(row, cellOf(m, OnMachine(m, r.Machines[i].Name)))
	}
	return row
}

// OnMachine is what a machine makes of a model; nil where nobody asked it.
func OnMachine(m *finding.Model, machine string) *finding.OnMachine {
	i := slices.IndexFunc(m.Machines, func(o finding.OnMachine) bool { return o.Machine == machine })
	if i < 0 {
		return nil
	}
	return &m.Machines[i]
}

func cellOf(m *finding.Model, on *finding.OnMachine) Cell {
	switch {
	case m.Status == finding.Skipped:
		return Cell{Left, "skipped"}
	case m.Status == finding.Unreadable:
		return Cell{Unread, "unreadable"}
	case on == nil || on.Undecided != "" || m.Status == finding.Undecided && !slices.ContainsFunc(m.Machines, undecided):
		return Cell{Unread, "undecided"}
	case on.Findings.Error > 0:
		if about := Subject(on.Words); about != "" {
			return Cell{Fail, "fails: " + Safe(about)}
		}
		return Cell{Fail, "fails"}
	case on.Findings.Warning > 0 && acceptedOn(m, on.Machine):
		return Cell{Look, "prints, look, accepted"}
	case on.Findings.Warning > 0:
		return Cell{Look, "prints, look"}
	case acceptedOn(m, on.Machine):
		return Cell{Fine, "prints, accepted"} // nobody may take it for one without an error
	}
	return Cell{Fine, "prints"}
}

// acceptedOn says that an error was accepted that holds on the machine.
func acceptedOn(m *finding.Model, machine string) bool {
	return slices.ContainsFunc(m.Findings, func(f finding.Finding) bool {
		return f.Waived != nil && f.Level == finding.Error && f.HoldsOn(machine)
	})
}

func undecided(o finding.OnMachine) bool { return o.Undecided != "" }

// Said is a cell in full: what is worst on the machine, or why it could not be judged.
func Said(c Cell, on *finding.OnMachine) string {
	switch {
	case on == nil:
		return c.Words
	case on.Undecided != "":
		return c.Words + ": " + Safe(on.Undecided)
	case on.Words == "" || c.State == Unread:
		return c.Words
	}
	first, _, _ := strings.Cut(c.Words, ":")
	return first + ": " + Safe(on.Words)
}

// WorseRow orders rows of a table of models by machines: those first that have the most of
// the worst state.
func WorseRow(a, b []Cell) int {
	for _, state := range []State{Unread, Fail, Look} {
		count := func(row []Cell) (n int) {
			for i := range row {
				if row[i].State == state {
					n++
				}
			}
			return n
		}
		if order := count(b) - count(a); order != 0 {
			return order
		}
	}
	return 0
}

// PrintsOn says in sentences on which machines a model prints; it is empty where the run
// knew only one, and for a model that was not read.
func PrintsOn(r *finding.Report, m *finding.Model) string {
	if m.Status == finding.Skipped || m.Status == finding.Unreadable {
		return ""
	}
	row := Matrix(r, m)
	names := map[State][]string{}
	for i := range row {
		name, state := r.Machines[i].Name, row[i].State
		if (state == Fine || state == Look) && acceptedOn(m, name) {
			state = accepted
		}
		names[state] = append(names[state], Safe(name))
	}
	var said []string
	for _, k := range []struct {
		state State
		words string
	}{{Fine, "Prints on %s."}, {Look, "Prints on %s, but look at it first."}, {accepted, "Would fail on %s, and was accepted."}, {Fail, "Fails on %s."}, {Unread, "Not decided for %s."}} {
		switch of := names[k.state]; {
		case len(of) == 0:
		case k.state == Unread && len(of) == len(row):
			said = append(said, "Not decided for any machine.")
		default:
			said = append(said, fmt.Sprintf(k.words, some(of, len(row))))
		}
	}
	return strings.Join(said, " ")
}

// some names machines out of all, or counts them where the names would be too many.
func some(names []string, all int) string {
	switch {
	case len(names) == all && all > 1:
		return "every machine"
	case len(names) > maxNames:
		return fmt.Sprintf("%d of %d machines", len(names), all)
	}
	return Listed(names)
}

// FailsWhere says how the verdicts of several machines make one; it is empty where the run
// knew only one.
func FailsWhere(r *finding.Report) string {
	if len(r.Machines) == 0 || r.Where == nil {
		return ""
	}
	switch r.Where.Policy {
	case finding.FailOnEvery:
		return "this run fails only if a model fails on every machine"
	case finding.FailOnNamed:
		return "this run fails if a model fails on " + Safe(strings.Join(r.Where.Names, " or "))
	}
	return "this run fails if a model fails on any machine"
}

// Advised is advice, with the machines that it is for.
type Advised struct {
	Words string
	On    []string // the machines; empty where it is for all
	all   int
}

// For names the machines, as in " on mini-2"; it is empty where the advice is for all.
func (a *Advised) For() string {
	if len(a.On) == 0 {
		return ""
	}
	return " on " + Safe(Listed(a.On))
}

// Short is For where there is little room: many machines are counted.
func (a *Advised) Short() string {
	if len(a.On) == 0 {
		return ""
	}
	return " on " + Safe(some(a.On, a.all))
}

// AdviceOf is the advice on a model: once, where it is the same for all machines.
func AdviceOf(m *finding.Model) []Advised {
	var list []Advised
	for i := range m.Machines {
		o := &m.Machines[i]
		if o.Advice == nil || o.Advice.Words == "" {
			continue
		}
		k := slices.IndexFunc(list, func(a Advised) bool { return a.Words == o.Advice.Words })
		if k < 0 {
			k = len(list)
			list = append(list, Advised{Words: o.Advice.Words, all: len(m.Machines)})
		}
		list[k].On = append(list[k].On, o.Machine)
	}
	switch {
	case len(list) == 1 && len(list[0].On) == len(m.Machines):
		list[0].On = nil
	case len(list) == 0 && m.Advice != nil:
		list = []Advised{{Words: m.Advice.Words}}
	}
	return list
}
