package words

import (
	"slices"
	"strings"

	"printlint/internal/finding"
)

// ByMachine says on which machines a model prints, and what is worst on the others. It is
// empty where the run knew only one, and for a model with nothing to say of on any.
func ByMachine(m *finding.Model) string {
	if len(m.Machines) < 2 || m.Status == finding.Unreadable {
		return ""
	}
	var prints []string
	var others []saying
	clean := true
	for i := range m.Machines {
		o := &m.Machines[i]
		name, says := Safe(o.Machine), Safe(o.Words)
		clean = clean && o.Words == "" && o.Undecided == ""
		switch {
		case o.Undecided != "":
			says = "undecided: " + Safe(o.Undecided)
		case o.Findings.Error == 0 && acceptedOn(m, o.Machine):
			says = "would fail, and was accepted"
		case o.Findings.Error == 0:
			prints = append(prints, name)
			continue
		}
		k := slices.IndexFunc(others, func(s saying) bool { return s.words == says })
		if k < 0 {
			k = len(others)
			others = append(others, saying{words: says})
		}
		others[k].machines = append(others[k].machines, name)
	}
	if clean {
		return ""
	}
	most := len(prints)
	for _, s := range others {
		most = max(most, len(s.machines))
	}
	// The most machines that have one thing in common are counted, and all others named.
	listed := func(names []string) string {
		if len(names) == most {
			return some(names, len(m.Machines))
		}
		return Listed(names)
	}
	text := []string{"prints on no machine"}
	if len(prints) > 0 {
		text[0] = "prints on " + listed(prints)
	}
	for _, s := range others {
		text = append(text, "on "+listed(s.machines)+": "+s.words)
	}
	return strings.Join(text, "; ")
}

// saying is what is worst on some machines.
type saying struct {
	words    string
	machines []string
}

// Tallied is how many models print on a machine.
type Tallied struct {
	Machine                  string
	Prints, Fails, Undecided int
	// Accepted is how many of those that print do so only because an error was accepted.
	Accepted int
}

// Tally counts the models by machine; it is empty where the run knew only one.
func Tally(r *finding.Report) []Tallied {
	list := make([]Tallied, len(r.Machines))
	for k := range list {
		list[k].Machine = Safe(r.Machines[k].Name)
		for i := range r.Models {
			switch o := OnMachine(&r.Models[i], r.Machines[k].Name); {
			case o == nil: // skipped
			case o.Undecided != "":
				list[k].Undecided++
			case o.Findings.Error > 0:
				list[k].Fails++
			default:
				list[k].Prints++
				if acceptedOn(&r.Models[i], o.Machine) {
					list[k].Accepted++
				}
			}
		}
	}
	return list
}
