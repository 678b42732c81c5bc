package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
)

// TestPrintsOn holds how the verdicts of machines make sentences.
func TestPrintsOn(t *testing.T) {
	on := func(e, w int, undecided string) finding.OnMachine {
		return finding.OnMachine{Findings: finding.LevelCount{Error: e, Warning: w}, Undecided: undecided}
	}
	fine, look, fail, open := on(0, 0, ""), on(0, 2, ""), on(1, 0, ""), on(0, 0, "too much work")
	for want, verdicts := range map[string][]finding.OnMachine{
		"Prints on every machine.":                       {fine, fine},
		"Fails on every machine.":                        {fail, fail},
		"Prints on every machine, but look at it first.": {look, look},
		"Not decided for any machine.":                   {open, open},
		"Prints on a.":                                   {fine},
		"Fails on a.":                                    {fail},
		"Prints on a and c. Fails on b.":                 {fine, fail, fine},
		"Prints on a. Prints on b, but look at it first. Not decided for c.":        {fine, look, open},
		"Prints on 5 of 7 machines. Prints on b, but look at it first. Fails on e.": {fine, look, fine, fine, fail, fine, fine},
	} {
		r, m := &finding.Report{}, &finding.Model{Status: finding.Checked}
		for i, v := range verdicts {
			v.Machine = string(rune('a' + i))
			r.Machines = append(r.Machines, finding.Machine{Name: v.Machine})
			m.Machines = append(m.Machines, v)
		}
		assert.Equal(t, want, PrintsOn(r, m))
		m.Status = finding.Unreadable
		assert.Empty(t, PrintsOn(r, m))
	}
	assert.Empty(t, PrintsOn(&finding.Report{}, &finding.Model{Status: finding.Checked}))
}

// TestWhatWasAcceptedIsNotSaidToPrint holds the sentence, the line and the cell of a model with an
// error that was accepted: on b alone, or on all.
func TestWhatWasAcceptedIsNotSaidToPrint(t *testing.T) {
	wrong := finding.Finding{Level: finding.Error, Waived: &finding.Waived{}, On: []string{"b"}}
	r := &finding.Report{Machines: []finding.Machine{{Name: "a"}, {Name: "b"}}}
	m := &finding.Model{Status: finding.Checked, Findings: []finding.Finding{wrong}, Machines: []finding.OnMachine{
		{Machine: "a", Findings: finding.LevelCount{Warning: 1}, Words: "rough"}, {Machine: "b"}}}
	assert.Equal(t, "Prints on a, but look at it first. Would fail on b, and was accepted.", PrintsOn(r, m))
	assert.Equal(t, "prints on a; on b: would fail, and was accepted", ByMachine(m))
	assert.Equal(t, []Cell{{Look, "prints, look"}, {Fine, "prints, accepted"}}, Matrix(r, m))
	m.Findings[0].On = nil
	assert.Equal(t, "Would fail on every machine, and was accepted.", PrintsOn(r, m))
	assert.Equal(t, []Cell{{Look, "prints, look, accepted"}, {Fine, "prints, accepted"}}, Matrix(r, m))
}

func TestFailsWhere(t *testing.T) {
	r := &finding.Report{Where: &finding.FailWhere{Policy: finding.FailOnAny}}
	assert.Empty(t, FailsWhere(r), "there is one machine")
	r.Machines = []finding.Machine{{Name: "a"}, {Name: "b"}}
	assert.Equal(t, "this run fails if a model fails on any machine", FailsWhere(r))
	r.Where.Policy = finding.FailOnEvery
	assert.Equal(t, "this run fails only if a model fails on every machine", FailsWhere(r))
	r.Where = &finding.FailWhere{Policy: finding.FailOnNamed, Names: []string{"a", "b"}}
	assert.Equal(t, "this run fails if a model fails on a or b", FailsWhere(r))
}

// TestAdviceOf holds that advice is said once where it is the same.
func TestAdviceOf(t *testing.T) {
	turn, prop := &finding.Advice{Words: "turn it"}, &finding.Advice{Words: "support it"}
	for want, m := range map[string]*finding.Model{
		"":                                    {},
		"turn it":                             {Advice: turn},
		"turn it\x00":                         {Machines: []finding.OnMachine{{Machine: "a", Advice: turn}, {Machine: "b", Advice: turn}}},
		"turn it on a and c, support it on b": {Machines: []finding.OnMachine{{Machine: "a", Advice: turn}, {Machine: "b", Advice: prop}, {Machine: "c", Advice: turn}}},
		"turn it on b":                        {Advice: prop, Machines: []finding.OnMachine{{Machine: "a"}, {Machine: "b", Advice: turn}}},
	} {
		var got string
		for _, a := range AdviceOf(m) {
			if got != "" {
				got += ", "
			}
			got += a.Words + a.For()
		}
		assert.Equal(t, strings.TrimSuffix(want, "\x00"), got)
	}
}

// TestGroupedKeepsMachinesApart holds that one line speaks of one set of machines.
func TestGroupedKeepsMachinesApart(t *testing.T) {
	here, there := bridge(finding.Error, 20), bridge(finding.Error, 20)
	here.On, there.On = []string{"a"}, []string{"a", "b"}
	m := &finding.Model{Findings: []finding.Finding{here, bridge(finding.Error, 20), there, here}}
	var got []string
	for _, groups := range Grouped(m) {
		for i := range groups {
			got = append(got, groups[i].What())
		}
	}
	assert.Equal(t, []string{"bridge of 20.0 mm over air, in 2 places (on a)", "bridge of 20.0 mm over air", "bridge of 20.0 mm over air (on a and b)"}, got)
}

// TestSubject holds what the messages of the built-in rules are about.
func TestSubject(t *testing.T) {
	for message, want := range map[string]string{
		"bridge of 34.0 mm over air; 18 mm is the most here":                                                            "bridge",
		"overhang at 85° from vertical reaches 20.0 mm out over air; 2 mm is safe here":                                 "overhang",
		"rim of a hole 3 mm wide starts in mid-air, 2 mm from the nearest wall below it":                                "rim of a hole",
		"wall is 0.3 mm thick; a line is 0.45 mm wide":                                                                  "wall",
		"a strip of wall, 3.0 mm wide, is only 0.3 mm thick; a line is 0.45 mm wide":                                    "a strip of wall",
		"loose piece starts in mid-air, 3 mm above the bed and 2 mm above what is under it":                             "loose piece starts in mid-air",
		"only 4.0 mm² lies flat on the bed":                                                                             "only 4.0 mm² lies flat on the bed",
		"model is 230 mm by 20 mm by 20 mm, larger than the bed (120 mm by 120 mm)":                                     "larger than the bed",
		"model is 2000 mm long, which is probably a mistake; is its unit right?":                                        "model is 2000 mm long, which is probably a mistake",
		"once it is 40 mm tall, its weight is at the edge of its foot of 30 mm², or past it; only its grip keeps it up": "its weight is at the edge of its foot",
		"surface is open over 20 mm; edges without a neighbour: 8":                                                      "surface is open",
		"triangles face the wrong way, inward or against their neighbours":                                              "triangles face the wrong way",
		"falls over by itself once it is 40 mm tall: its weight is 2 mm outside its foot":                               "falls over by itself",
		"tips over when pushed 5° aside, once it is 40 mm tall; its foot is only 30 mm²":                                "tips over",
		"stands unsteadily: once it is 40 mm tall, it tips over when pushed 12° aside":                                  "stands unsteadily",
		"a pin 0.3 mm wide and 4 mm tall is too thin to print; up to 0.2 mm is left out":                                "a pin",
		"hollow of 300 mm³, 8 mm high, has no way out":                                                                  "hollow",
		"": "",
	} {
		assert.Equal(t, want, Subject(message))
	}
}

// TestOnlyTellsWhoseFiguresTheyAre holds that a machine is only called the worst where a figure
// is past its limit.
func TestOnlyTellsWhoseFiguresTheyAre(t *testing.T) {
	f := &finding.Finding{WorstOn: "b"}
	assert.Equal(t, " (as on b)", Only(f))
	f.Says, f.Values, f.Limits = []string{"span"}, finding.Values{{Name: "span", Value: 30}}, finding.Values{{Name: "span", Value: 10}}
	f.On = []string{"a", "b"}
	assert.Equal(t, " (on a and b, worst on b)", Only(f))
	f.WorstOn = ""
	assert.Equal(t, " (on a and b)", Only(f))
}
