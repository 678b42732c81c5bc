package report

import (
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// matrix is what each machine makes of each model; nil where the run knew only one.
func (s *sarifWriter) matrix() (rows []sarifRow) {
	for i := range s.report.Models {
		m := &s.report.Models[i]
		cells := words.Matrix(s.report, m)
		if len(cells) == 0 {
			continue
		}
		row := sarifRow{Location: s.artifacts.location(m.Path), Part: words.Safe(m.Part)}
		for k, c := range cells {
			name := s.report.Machines[k].Name
			on := words.OnMachine(m, name)
			cell := sarifCell{Machine: name, Kind: kinds[c.State], Message: s.message(m, sentence(words.Said(c, on)))}
			if on != nil {
				cell.Findings = on.Findings
			}
			row.Cells = append(row.Cells, cell)
		}
		rows = append(rows, row)
	}
	return rows
}

// kinds are what SARIF calls what became of a model (3.27.9): review is what a person has to
// look at, open what could not be decided.
var kinds = map[words.State]string{words.Fine: "pass", words.Fail: "fail", words.Look: "review", words.Unread: "open", words.Left: "notApplicable"}

// on lists the machines on which a finding holds, all of them by name: who reads a result
// alone does not know how many there are.
func (s *sarifWriter) on(f *finding.Finding) []string {
	if len(f.On) > 0 {
		return f.On
	}
	var names []string
	for i := range s.report.Machines {
		names = append(names, s.report.Machines[i].Name)
	}
	return names
}

// shelf says for which machines a run was, in a sentence behind others; it is empty where
// the run knew only one.
func (s *sarifWriter) shelf() string {
	if len(s.report.Machines) == 0 {
		return ""
	}
	var all finding.Finding
	text := " Judged for " + words.Listed(s.on(&all)) + "."
	if where := words.FailsWhere(s.report); where != "" {
		text += " " + sentence(words.Capital(where))
	}
	return text
}
