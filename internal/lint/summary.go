package lint

import "printlint/internal/finding"

// Exit codes of a run. They never depend on the format of the report.
const (
	ExitClean    = 0 // nothing at or above the level that fails
	ExitFindings = 1 // at least one finding that fails
	ExitTrouble  = 2 // the job could not be done; beats 1
)

// Summarize counts models by what the worst on them is, and the findings on them that are
// not waived.
func Summarize(models []finding.Model) finding.Summary {
	var s finding.Summary
	for i := range models {
		m := &models[i]
		for k := range m.Findings {
			if f := &m.Findings[k]; f.Waived != nil {
				s.Waived++
			} else {
				count(&s, f.Level)
			}
		}
		switch worst := m.Worst(); {
		case m.Kind == KindConfig || m.Status == finding.Skipped:
			continue
		case m.Kind == finding.KindFolder:
			if m.Unjudged() {
				s.Undecided++
			}
			continue
		case m.Status == finding.Unreadable:
			s.Unreadable++
		case m.Status == finding.Undecided:
			s.Undecided++
		case worst == finding.Error:
			s.Fail++
		case worst == finding.Warning:
			s.Look++
		default:
			s.Clean++
			if worst == finding.Note {
				s.Noted++
			}
		}
		s.Models++
	}
	return s
}

func count(s *finding.Summary, l finding.Level) {
	switch l {
	case finding.Error:
		s.Error++
	case finding.Warning:
		s.Warning++
	case finding.Note:
		s.Note++
	}
}

// Exit is the exit code of a report, failing at the given level and above; at none,
// no finding fails. A model that could not be judged whole is trouble at any level.
func Exit(r *finding.Report, failAt finding.Level) int {
	if r.Summary.Unreadable+r.Summary.Undecided > 0 {
		return ExitTrouble
	}
	for i := range r.Models {
		for k := range r.Models[i].Findings {
			if r.Closes(&r.Models[i], &r.Models[i].Findings[k], failAt) {
				return ExitFindings
			}
		}
	}
	return ExitClean
}
