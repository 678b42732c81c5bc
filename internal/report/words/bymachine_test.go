package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestByMachine holds the line that says on which machines a model prints.
func TestByMachine(t *testing.T) {
	fine := finding.OnMachine{Machine: "a"}
	look := finding.OnMachine{Machine: "b", Findings: finding.LevelCount{Warning: 1}, Words: "rough"}
	fails := finding.OnMachine{Machine: "c", Findings: finding.LevelCount{Error: 2}, Words: "bridge of 34.0 mm over air; 18 mm is the most here"}
	also := fails
	also.Machine = "d"
	unsure := finding.OnMachine{Machine: "e", Undecided: "far too large"}
	var six []finding.OnMachine
	for _, name := range []string{"f", "g", "h", "i", "j"} {
		six = append(six, finding.OnMachine{Machine: name})
	}
	six = append(six, fails)
	for want, list := range map[string][]finding.OnMachine{
		"prints on a and b; on c: bridge of 34.0 mm over air; 18 mm is the most here": {fine, look, fails},
		"prints on a; on c and d: bridge of 34.0 mm over air; 18 mm is the most here": {fine, fails, also},
		"prints on no machine; on every machine: " + fails.Words:                      {fails, also},
		"prints on every machine":                         {fine, look},
		"prints on a; on e: undecided: far too large":     {fine, unsure},
		"prints on 5 of 6 machines; on c: " + fails.Words: six,
		"": {fine, fine},
	} {
		assert.Equal(t, want, ByMachine(&finding.Model{Machines: list}))
	}
	assert.Empty(t, ByMachine(&finding.Model{Machines: []finding.OnMachine{fails}}), "its findings say it")
	assert.Empty(t, ByMachine(&finding.Model{Status: finding.Unreadable, Machines: []finding.OnMachine{unsure, fine}}))
}

// TestTally counts models by machine; what was skipped is in no column.
func TestTally(t *testing.T) {
	of := func(errors int, why string) finding.OnMachine {
		return finding.OnMachine{Machine: "a\x1b", Findings: finding.LevelCount{Error: errors, Warning: 1}, Undecided: why}
	}
	r := &finding.Report{Machines: []finding.Machine{{Name: "a\x1b"}}}
	for _, o := range []finding.OnMachine{of(0, ""), of(2, ""), of(1, ""), of(1, "why")} {
		r.Models = append(r.Models, finding.Model{Machines: []finding.OnMachine{o}})
	}
	accepted := finding.Finding{Level: finding.Error, Waived: &finding.Waived{}, On: []string{"a\x1b"}}
	r.Models = append(r.Models, finding.Model{Status: finding.Skipped},
		finding.Model{Machines: []finding.OnMachine{of(0, "")}, Findings: []finding.Finding{accepted}})
	assert.Equal(t, []Tallied{{Machine: `a\u001b`, Prints: 2, Fails: 2, Undecided: 1, Accepted: 1}}, Tally(r))
	assert.Empty(t, Tally(&finding.Report{Models: r.Models}))
}
