package finding

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWhatClosesAGateOfSeveralMachines holds each policy against findings that hold on some
// of three machines.
func TestWhatClosesAGateOfSeveralMachines(t *testing.T) {
	on := func(level Level, machines ...string) Finding { return Finding{Level: level, On: machines} }
	waived := on(Error)
	waived.Waived = &Waived{}
	for name, c := range map[string]struct {
		found           []Finding
		any, all, named bool // named: a and b
	}{
		"nothing":                  {nil, false, false, false},
		"everywhere":               {[]Finding{on(Error)}, true, true, true},
		"on one that is named":     {[]Finding{on(Error, "a")}, true, false, true},
		"on the one that is not":   {[]Finding{on(Error, "c")}, true, false, false},
		"a finding for each":       {[]Finding{on(Error, "a", "c"), on(Error, "b")}, true, true, true},
		"an error and a warning":   {[]Finding{on(Error, "a", "b"), on(Warning, "c")}, true, false, true},
		"warnings":                 {[]Finding{on(Warning)}, false, false, false},
		"accepted":                 {[]Finding{waived}, false, false, false},
		"accepted where it counts": {[]Finding{waived, on(Error, "c")}, true, false, false},
	} {
		m := &Model{Findings: c.found}
		closes := func(where FailWhere) (closes bool) {
			r := &Report{Machines: []Machine{{Name: "a"}, {Name: "b"}, {Name: "c"}}, Where: &where}
			for i := range m.Findings {
				closes = closes || r.Closes(m, &m.Findings[i], Error)
			}
			return closes
		}
		assert.Equal(t, c.any, closes(FailWhere{Policy: FailOnAny}), "%s, any", name)
		assert.Equal(t, c.all, closes(FailWhere{Policy: FailOnEvery}), "%s, all", name)
		assert.Equal(t, c.named, closes(FailWhere{Policy: FailOnNamed, Names: []string{"a", "b"}}), "%s, named", name)
	}
}

// TestCountMachines holds that what is accepted counts on no machine, and is not told of as
// the worst there.
func TestCountMachines(t *testing.T) {
	m := &Model{
		Findings: []Finding{{Level: Error, On: []string{"a"}}, {Level: Warning}, {Level: Note, On: []string{"b"}}},
		Machines: []OnMachine{{Machine: "a", Words: "worst"}, {Machine: "b", Words: "bad"}},
	}
	m.CountMachines()
	assert.Equal(t, []OnMachine{{Machine: "a", Findings: LevelCount{1, 1, 0}, Words: "worst"}, {Machine: "b", Findings: LevelCount{0, 1, 1}, Words: "bad"}}, m.Machines)
	m.Findings[1].Waived = &Waived{}
	m.CountMachines()
	assert.Equal(t, []OnMachine{{Machine: "a", Findings: LevelCount{1, 0, 0}, Words: "worst"}, {Machine: "b", Findings: LevelCount{0, 0, 1}}}, m.Machines)
}
