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
var everyRow = []string{"slopes", "clean", "55", "slopes", "held", "75", "long-slopes", "held", "55", "ledges", "held", "4",
	"bridges", "clean", "15", "bridges", "held", "40", "ceilings", "held", "20", "walls", "clean", "0.5", "walls", "held", ".3", "gaps", "held", "0.3", "columns", "held", "2"}

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
	text, err := Machine([]*Answers{a})
	require.NoError(t, err)
	c := config(t, "version: 1\nuse: [m.yml]\n", map[string]string{"m.yml": text})
	assert.Equal(t, process, c.Process)
	for _, l := range []struct {
		rule, name string
		want       float64
	}{{"max-overhang-angle", "angle", 75}, {"rough-underside", "angle", 55}, {"long-slope", "angle", 55}, {"max-overhang-angle", "reach", 4},
		{"max-overhang-angle", "far", 4}, {"max-bridge-length", "span", 40}, {"sagging-bridge", "span", 15}, {"wide-ceiling", "span", 20}, {"min-wall", "thickness", 0.95 * 0.3},
		{"thin-wall", "thickness", 0.5}, {"min-gap", "gap", 0.3}, {"no-slender-columns", "slenderness", 9}} {
		assert.InDelta(t, l.want, limitOf(t, c, l.rule, l.name), 1e-9, "%s of %s", l.name, l.rule)
	}
	assert.NotContains(t, text, "Not answered")
	assert.Positive(t, holdsExactly(t, c))
}

// TestWorstOfSeveralPrints holds that prints of one plan join, and what is said of them.
func TestWorstOfSeveralPrints(t *testing.T) {
	p := plan(t, usual)
	one, err := Read("a.yml", []byte(filled(t, p, "slopes", "held", "70", "bridges", "held", "70")))
	require.NoError(t, err)
	two, err := Read("b.yml", []byte(strings.Replace(filled(t, p, "slopes", "held", "65"), "2026-11-20", "2026-11-21", 1)))
	require.NoError(t, err)
	text, err := Machine([]*Answers{one, two})
	require.NoError(t, err)
	assert.Contains(t, text, "angle: 65°\n")
	assert.Contains(t, text, "slopes: measured on the worst of 2 prints (2026-11-20, 2026-11-21), 65° held and 70° did not; the true limit lies between, and the best of them gives 70°.")
	assert.Contains(t, text, "bridges: measured on 1 print (2026-11-20), 70 mm held, and the plate has no harder piece; the printer may do more.")
	assert.Contains(t, text, "# Not answered, so that the limits of standard hold: slopes clean, long-slopes held, ")
	again, err := Machine([]*Answers{one, two})
	require.NoError(t, err)
	assert.Equal(t, text, again)

	other := usual
	other.Layer = 0.1
	three, err := Read("c.yml", []byte(filled(t, plan(t, other), "slopes", "held", "70")))
	require.NoError(t, err)
	_, err = Machine([]*Answers{one, three})
	assert.ErrorContains(t, err, "a.yml and c.yml were made for different processes")
	two.Machine = "bench-2"
	_, err = Machine([]*Answers{one, two})
	assert.ErrorContains(t, err, "write a file for each")
}

// TestWhatIsWrongInAnswersIsTold holds each complaint to its place and its cure.
func TestWhatIsWrongInAnswersIsTold(t *testing.T) {
	p := plan(t, usual)
	good := filled(t, p, "slopes", "held", "65")
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "a.yml:1:1: the file is empty; printlint coupon writes one to fill in"},
		{"a list", "[1]", "a.yml:1:1: a file of answers must be a mapping"},
		{"nothing filled in", filled(t, p), ":24:3: no row is filled in"},
		{"no date", strings.Replace(good, "2026-11-20 ", "", 1), "date is missing; write the day"},
		{"no day", strings.Replace(good, "2026-11-20 ", "2026-13-20 ", 1), `:7:7: date is "2026-13-20", which is no day; write it as 2026-11-20`},
		{"two lines", strings.Replace(good, "room: ", `room: "a\nb"`, 1), ":9:7: room must be one line of text"},
		{"a hidden end of line", strings.Replace(good, "room: ", `room: "a\u2028b"`, 1), ":9:7: room must be one line of text"},
		{"unknown key", good + "  tower: {held: 1}\n", `unknown key "tower" in rows (known here: bridges, `},
		{"near key", strings.Replace(good, "  ledges:", "  ledge:", 1), `unknown key "ledge" in rows (did you mean "ledges"?)`},
		{"twice", good + "  gaps: {held: 0.2}\n", `key "gaps" stands twice in rows, first in line `},
		{"no such step", filled(t, p, "slopes", "held", "62"), `: slopes has no piece "62"; its numbers are 35, 40, 45, `},
		{"no number", filled(t, p, "slopes", "held", "good"), `: slopes has no piece "good"; its numbers are `},
		{"wrong unit", filled(t, p, "walls", "held", "1.2 cm"), `: walls has no piece "1.2 cm"`},
		{"wrong kind of unit", filled(t, p, "walls", "held", "40 deg"), `: walls is counted in mm, not as in "40 deg"`},
		{"none", filled(t, p, "gaps", "held", "none"), "not even the first piece of gaps is good"},
		{"a mark that is not asked for", strings.Replace(good, "  gaps:\n    held:", "  gaps:\n    clean: 0.2\n    held:", 1), `unknown key "clean" in gaps`},
		{"clean alone", filled(t, p, "walls", "clean", "0.8"), "walls says what came out clean and not what held; write the last piece that held behind held:"},
		{"clean past held", filled(t, p, "walls", "clean", "0.4", "walls", "held", "0.8"), "walls: .4 is clean, but only .8 held"},
		{"another version", strings.Replace(good, "version: 1", "version: 2", 1), ":5:10: version must be 1, that of the pieces"},
		{"no process", strings.Replace(good, "  nozzle: 0.4 mm\n", "", 1), ": made-for needs nozzle; copy it from the file"},
		{"a figure without unit", strings.Replace(good, "nozzle: 0.4 mm", "nozzle: 0.4", 1), `nozzle is "0.4"; it is a number in mm`},
		{"a huge figure", strings.Replace(good, "nozzle: 0.4 mm", "nozzle: 1e9 mm", 1), `nozzle is 1e9 mm, which cannot be meant`},
		{"no bed", strings.Replace(good, "bed: [220 mm", "bed: [", 1), ": this is not YAML"},
		{"a flat bed", strings.Replace(good, "bed: [220 mm, 220 mm, 250 mm]", "bed: [220 mm]", 1), "made-for needs the bed, such as bed: [220 mm, 220 mm, 250 mm]"},
		{"a tiny bed", strings.Replace(good, "bed: [220 mm,", "bed: [20 mm,", 1), "the bed is too small for test pieces"},
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
		out, err := Machine([]*Answers{a})
		require.NoError(t, err)
		config(t, "version: 1\nuse: [standard, m.yml]\n", map[string]string{"m.yml": out})
	})
}
