package coupon

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/ruleset"
)

// filled is the file of questions with answers put in: the row, the mark and the value in
// turn, as in "slopes", "held", "65".
func filled(t testing.TB, p *Plan, answers ...string) string {
	t.Helper()
	text := strings.Replace(p.Questions(), "date: ", "date: 2026-11-20", 1)
	for i := 0; i < len(answers); i += 3 {
		at := strings.Index(text, "  "+answers[i]+":\n")
		require.Positive(t, at, answers[i])
		mark := at + strings.Index(text[at:], "    "+answers[i+1]+":") + len("    "+answers[i+1]+":")
		text = text[:mark] + " " + answers[i+2] + text[mark:]
	}
	return text
}

// everyRow answers everything, each row off its built-in limit.
var everyRow = []string{"slopes", "clean", "55", "slopes", "held", "75", "long-slopes", "held", "55", "ledges", "clean", "1.5", "ledges", "held", "4",
	"bridges", "clean", "15", "bridges", "held", "40", "ceilings", "held", "20", "walls", "clean", "0.5", "walls", "held", ".3", "gaps", "held", "0.3", "columns", "held", "2",
	"feet", "clean", "36", "feet", "held", "16", "specks", "held", "4"}

// TestMeasuredLimitsFindExactlyTheStepsPastThem goes the whole way: a filled-in file, the
// machine it gives, and the pieces judged by that machine.
func TestMeasuredLimitsFindExactlyTheStepsPastThem(t *testing.T) {
	soft := usual
	soft.Material, soft.Bridge, soft.Density, soft.Flow = "tpu", 2, 1.21, 2
	for _, process := range []catalog.Process{usual, soft} {
		t.Run(process.Material, func(t *testing.T) { measured(t, process) })
	}
}

// measured goes that way with one process. The set of a plastic has limits too, and those that
// were measured stand before them.
func measured(t *testing.T, process catalog.Process) {
	p := plan(t, process)
	a, err := Read("answers.yml", []byte(filled(t, p, everyRow...)))
	require.NoError(t, err)
	text, err := Prints{List: []*Answers{a}, Name: "m"}.Machine()
	require.NoError(t, err)
	c := config(t, "version: 1\nuse: [standard, m.yml]\n", map[string]string{"m.yml": text})
	bare := c.Process
	bare.Limits = catalog.Limits{}
	assert.Equal(t, process, bare)
	for _, l := range []struct {
		rule, name string
		want       float64
	}{{"max-overhang-angle", "angle", 75}, {"rough-underside", "angle", 55}, {"long-slope", "angle", 55}, {"max-overhang-angle", "reach", 4},
		{"max-overhang-angle", "far", 4}, {"sagging-bridge", "reach", 1.5}, {"max-bridge-length", "span", 40}, {"sagging-bridge", "span", 15}, {"wide-ceiling", "span", 20}, {"min-wall", "thickness", 0.95 * 0.3},
		{"thin-wall", "thickness", 0.5}, {"min-gap", "gap", 0.3}, {"no-slender-columns", "slenderness", 9},
		{"flat-base", "flat", 16}, {"speck-below-floor", "flat", 16}, {"brim-advised", "small", 36}, {"no-floating-islands", "widest", 4}, {"feet-not-level", "widest", 4},
		{"detached-piece", "widest", 1}} {
		assert.InDelta(t, l.want, limitOf(t, c, l.rule, l.name), 1e-9, "%s of %s", l.name, l.rule)
	}
	assert.NotContains(t, text, "Not answered")
	assert.Positive(t, holdsExactly(t, c))
}

// read is what a file of answers gives.
func read(t *testing.T, file, text string) *Answers {
	t.Helper()
	a, err := Read(file, []byte(text))
	require.NoError(t, err)
	return a
}

// TestWorstOfSeveralPrints holds that prints of one plan join, and what is said of them.
func TestWorstOfSeveralPrints(t *testing.T) {
	p := plan(t, usual)
	one := read(t, "a.yml", filled(t, p, "slopes", "held", "70", "bridges", "held", "70"))
	two := read(t, "b.yml", strings.Replace(filled(t, p, "slopes", "held", "65"), "2026-11-20", "2026-11-21", 1))
	prints := Prints{List: []*Answers{one, two}, Name: "bench"}
	text, err := prints.Machine()
	require.NoError(t, err)
	assert.Contains(t, text, "name: 'bench'\n")
	assert.Contains(t, text, "  lean:\n    holds: 65°\n    source: >-\n      slopes: measured on the worst of 2 prints (2026-11-20, 2026-11-21), 65° held and 70° did not; the true limit lies between, and the best of them gives 70°.\n")
	assert.Contains(t, text, "bridges: measured on 1 print (2026-11-20), 70 mm held, and the plate has no harder piece; the printer may do more.")
	assert.Contains(t, text, "# Of several prints the worst counts, row by row.\n")
	assert.Contains(t, text, "# Not answered, so that the rule set's own figures hold: slopes clean, long-slopes held, ")
	again, err := prints.Machine()
	require.NoError(t, err)
	assert.Equal(t, text, again)
}

// TestPrintsThatDoNotJoin holds what is said of answers about different machines.
func TestPrintsThatDoNotJoin(t *testing.T) {
	good := filled(t, plan(t, usual), "slopes", "held", "70")
	for _, c := range []struct {
		change func(*catalog.Process)
		want   string
	}{
		{func(p *catalog.Process) { p.Layer = 0.1 }, "b.yml:13:3: made for layer 0.1 mm, but a.yml for 0.2 mm; what was printed otherwise is another machine, so write a file for each"},
		{func(p *catalog.Process) { p.Material = "petg" }, `b.yml:13:3: made for "petg", but a.yml for "pla"; another plastic is another machine, so write a file for each`},
		{func(p *catalog.Process) { p.Bed[0] = 200 }, "b.yml:13:3: made for another bed than a.yml; another bed is another machine, so write a file for each"},
	} {
		other := usual
		c.change(&other)
		doNotJoin(t, c.want, good, filled(t, plan(t, other), "slopes", "held", "70"))
	}
	doNotJoin(t, `b.yml:8:10: the machine is "bench-2", but in a.yml it is ""; write a file for each`, good, strings.Replace(good, "machine: ", "machine: bench-2 ", 1))
}

// doNotJoin holds what is said of two files of answers that do not join.
func doNotJoin(t *testing.T, want string, files ...string) {
	t.Helper()
	list := []*Answers{read(t, "a.yml", files[0]), read(t, "b.yml", files[1])}
	_, err := Prints{List: list}.Machine()
	var problems *ruleset.Problems
	require.ErrorAs(t, err, &problems)
	assert.Equal(t, want, problems.Error())
}

// TestQuantileIsAStepThatWasSeen holds which of several prints counts, by the nearest rank, and
// that nothing is clean past what holds.
func TestQuantileIsAStepThatWasSeen(t *testing.T) {
	p := plan(t, usual)
	var list []*Answers
	for _, held := range []string{"80", "60", "75", "65", "70"} {
		list = append(list, read(t, held+".yml", filled(t, p, "slopes", "held", held)))
	}
	for n, want := range map[int][]string{ // by the number of prints, at 0, 20, 21, 25, 34, 40, 41 and 50 percent
		1: {"80", "80", "80", "80", "80", "80", "80", "80"},
		2: {"60", "60", "60", "60", "60", "60", "60", "60"},
		3: {"60", "60", "60", "60", "75", "75", "75", "75"},
		5: {"60", "60", "65", "65", "65", "65", "70", "70"},
	} {
		for i, q := range []int{0, 20, 21, 25, 34, 40, 41, 50} {
			text, err := Prints{List: list[:n], Name: "m", Quantile: q}.Machine()
			require.NoError(t, err)
			assert.Contains(t, text, "holds: "+want[i]+"°\n", "%d prints at %d %%", n, q)
		}
	}
	text, err := Prints{List: list, Name: "m", Quantile: 25}.Machine()
	require.NoError(t, err)
	assert.Contains(t, text, "# Of several prints the 25 % quantile counts, row by row: sorted from the worst on, the one at\n# 25 % of their number, rounded up.")
	assert.Contains(t, text, "slopes: measured on 5 prints, of which number 2 from the worst counts, the 25 % quantile (2026-11-20), 65° held and 70° did not; the true limit lies between, and the best of them gives 80°.")

	clean := read(t, "clean.yml", filled(t, p, "slopes", "clean", "70", "slopes", "held", "75", "walls", "clean", "0.4", "walls", "held", "0.3"))
	less := read(t, "less.yml", filled(t, p, "slopes", "held", "60", "walls", "held", "0.6"))
	text, err = Prints{List: []*Answers{clean, less}, Name: "m"}.Machine()
	require.NoError(t, err)
	assert.Contains(t, text, "    holds: 60°\n    clean: 60°\n")
	assert.Contains(t, text, "60° came out clean, as another print held no more")
	assert.Contains(t, text, "    holds: 0.57 mm   # a twentieth less than 0.6 mm, which the facets of a round wall take off\n    clean: 0.6 mm\n")
	config(t, "version: 1\nuse: [standard, m.yml]\n", map[string]string{"m.yml": text})
}

// TestWhatIsWrongInAnswersIsTold holds each complaint to its place and its cure.
func TestWhatIsWrongInAnswersIsTold(t *testing.T) {
	p := plan(t, usual)
	good := filled(t, p, "slopes", "held", "65")
	tiny := usual
	tiny.Bed[0] = 20
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "a.yml:1:1: the file is empty; printlint coupon writes one to fill in"},
		{"a list", "[1]", "a.yml:1:1: a file of answers must be a mapping"},
		{"nothing filled in", filled(t, p), ":25:3: no row is filled in"},
		{"no date", strings.Replace(good, "2026-11-20 ", "", 1), "date is missing; write the day"},
		{"no day", strings.Replace(good, "2026-11-20 ", "2026-13-20 ", 1), `:7:7: date is "2026-13-20", which is no day; write it as 2026-11-20`},
		{"a name too long", strings.Replace(good, "machine: ", "machine: "+strings.Repeat("x", 41), 1), ":8:10: the name of a machine has 40 letters at most"},
		{"a name that is blank", strings.Replace(good, "machine: ", "machine: ' '", 1), ":8:10: the name of a machine begins and ends with a letter, digit or sign"},
		{"a name with an unseen letter", strings.Replace(good, "machine: ", `machine: "a\u202eb"`, 1), `:8:10: the name of a machine has a character that cannot be seen, "a\u202eb"; write it with`},
		{"a name for several", strings.Replace(good, "machine: ", "machine: all", 1), ":8:10: a machine cannot be called all, which stands for several"},
		{"two lines", strings.Replace(good, "room: ", `room: "a\nb"`, 1), ":9:7: room must be one line of text"},
		{"a hidden end of line", strings.Replace(good, "room: ", `room: "a\u2028b"`, 1), ":9:7: room must be one line of text"},
		{"unknown key", good + "  tower: {held: 1}\n", `unknown key "tower" in rows (known here: bridges, `},
		{"near key", strings.Replace(good, "  ledges:", "  ledge:", 1), `unknown key "ledge" in rows (did you mean "ledges"?)`},
		{"twice", good + "  gaps: {held: 0.2}\n", `key "gaps" stands twice in rows, first in line `},
		{"no such step", filled(t, p, "slopes", "held", "62"), `: slopes has no piece "62"; its numbers are 35, 40, 45, `},
		{"no number", filled(t, p, "slopes", "held", "good"), `: slopes has no piece "good"; its numbers are `},
		{"wrong unit", filled(t, p, "walls", "held", "1.2 cm"), `: walls has no piece "1.2 cm"`},
		{"wrong kind of unit", filled(t, p, "walls", "held", "40 deg"), `: walls is counted in mm, not as in "40 deg"`},
		{"the sign of a unit", filled(t, p, "slopes", "held", "7 mm"), `: slopes is counted in °, not as in "7 mm"`},
		{"a list of steps", filled(t, p, "slopes", "held", "[70]"), ": slopes takes one number here, that on the last good piece"},
		{"NONE", filled(t, p, "gaps", "held", "None"), "not even the first piece of gaps is good"},
		{"none", filled(t, p, "gaps", "held", "none"), "not even the first piece of gaps is good"},
		{"a mark that is not asked for", strings.Replace(good, "  gaps:\n    held:", "  gaps:\n    clean: 0.2\n    held:", 1), `unknown key "clean" in gaps`},
		{"clean alone", filled(t, p, "walls", "clean", "0.8"), "walls says what came out clean and not what held; write the last piece that held behind held:"},
		{"clean past held", filled(t, p, "walls", "clean", "0.4", "walls", "held", "0.8"), "walls: .4 is clean, but only .8 held"},
		{"a foot that is not there", filled(t, p, "feet", "held", "8"), `: feet has no piece "8"; its numbers are 64, 49, 36, 25, 16, 9, 4 mm²`},
		{"a foot by its side", filled(t, p, "feet", "held", "3 mm"), `: feet is counted in mm², not as in "3 mm"`},
		{"a foot clean past held", filled(t, p, "feet", "clean", "9", "feet", "held", "25"), "feet: 9 is clean, but only 25 held"},
		{"a clean speck", strings.Replace(good, "  specks:\n    held:", "  specks:\n    clean: 1\n    held:", 1), `unknown key "clean" in specks`},
		{"another version", strings.Replace(good, "version: 1", "version: 2", 1), ":5:10: version must be 1, that of the pieces"},
		{"another process", strings.Replace(good, "layer: 0.2 mm", "layer: 0.3 mm", 1), ":21:10: the figures under made-for are not those that the pieces were made for"},
		{"no checksum", good[:strings.Index(good, "  check:")] + good[strings.Index(good, "\nrows:"):], ":13:3: the figures under made-for are not those"},
		{"no process", strings.Replace(good, "  nozzle: 0.4 mm\n", "", 1), ": made-for needs nozzle; copy it from the file"},
		{"a figure without unit", strings.Replace(good, "nozzle: 0.4 mm", "nozzle: 0.4", 1), `nozzle is "0.4"; it is a number in mm`},
		{"a huge figure", strings.Replace(good, "nozzle: 0.4 mm", "nozzle: 1e9 mm", 1), `nozzle is 1e9 mm, which cannot be meant`},
		{"no bed", strings.Replace(good, "bed: [220 mm", "bed: [", 1), ": this is not YAML"},
		{"a flat bed", strings.Replace(good, "bed: [220 mm, 220 mm, 250 mm]", "bed: [220 mm]", 1), "made-for needs the bed, such as bed: [220 mm, 220 mm, 250 mm]"},
		{"a tiny bed", filled(t, &Plan{Process: tiny}), "the bed is too small for test pieces"},
		{"an alias", strings.Replace(good, "2026-11-20", "&x 2026-11-20", 1), "anchors are not read here"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read("a.yml", []byte(c.text))
			var problems *ruleset.Problems
			require.ErrorAs(t, err, &problems)
			assert.Contains(t, problems.Error(), c.want)
			assert.Regexp(t, `^a\.yml:\d+:\d+: `, problems.Error())
		})
	}
	_, err := Read("a.yml", []byte(good))
	assert.NoError(t, err)
}

// FuzzRead holds that no file of answers brings the reader down, and that what it accepts
// gives a rule set that loads.
func FuzzRead(f *testing.F) {
	p := plan(f, usual)
	f.Add(filled(f, p, everyRow...))
	f.Add(filled(f, p))
	f.Add("version: 1\nrows: {slopes: {held: []}}\nmade-for: 3")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := Read("a.yml", []byte(text))
		if err != nil {
			return
		}
		out, err := Prints{List: []*Answers{a}, Name: "m"}.Machine()
		require.NoError(t, err)
		config(t, "version: 1\nuse: [standard, m.yml]\n", map[string]string{"m.yml": out})
	})
}
