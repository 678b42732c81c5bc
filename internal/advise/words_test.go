package advise

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/support"
	"printlint/internal/verdict"
)

// judged makes a way up with findings and, of grams, support.
func judged(down mesh.Vec, contact float64, errors, warnings, notes int, grams ...float64) wayUp {
	out := &outcome{Verdict: &verdict.Verdict{Subject: &verdict.Subject{
		View: &ruleset.View{Rules: []*ruleset.Rule{{Measure: measure.Overhang.Name(), Level: finding.Error}}, Process: catalog.Process{Line: 0.4, Layer: 0.2, Density: 1.2, Flow: 5}},
	}}}
	for level, n := range map[finding.Level]int{finding.Error: errors, finding.Warning: warnings, finding.Note: notes} {
		for range n {
			out.hits = append(out.hits, verdict.Hit{Finding: finding.Finding{Level: level, Rule: "a-" + string(level)}})
		}
	}
	for _, g := range grams {
		out.structures = append(out.structures, support.Structure{Kind: support.Grid, Grams: g, Minutes: 10 * g})
		out.total.Grams += g
		out.total.Minutes += 10 * g
	}
	kind := pose.Rest
	if down == pose.Down {
		kind = pose.AsItLies
	}
	out.figures = figures{Errors: errors, Warnings: warnings, Notes: notes, Base: contact}
	return wayUp{pose.Candidate{Down: down, Origin: kind, Contact: contact}, out}
}

func TestUpshot(t *testing.T) {
	up, side := mesh.Vec{Z: 1}, mesh.Vec{X: 1}
	bad := judged(pose.Down, 50, 2, 1, 0, 1.5)
	const right = "turn it 90° about the y axis, so that the flat right side (+x) lies on the bed: then it "
	askew := func(contact float64, errors, warnings, notes int) wayUp {
		return judged(pose.Turning{Axis: 'x', Angle: 0.4}.Down(), contact, errors, warnings, notes)
	}
	for _, c := range []struct {
		best  []wayUp
		lies  int
		given bool
		words string
	}{
		{[]wayUp{judged(up, 412, 0, 0, 0), bad}, 1, false,
			"turn it over, so that the flat top lies on the bed: then it prints without support (412 mm² on the bed)"},
		{[]wayUp{askew(900, 0, 0, 0), bad}, 1, false,
			"it lies 0.4° askew; lay it flat (turn it 0.4° about the x axis): a-error and a-warning go away with that, and it prints without support (900 mm² on the bed)"},
		{[]wayUp{askew(900, 0, 1, 0), bad}, 1, false,
			"it lies 0.4° askew; lay it flat (turn it 0.4° about the x axis): a-error goes away with that, and it needs no support, and leaves 1 warning instead of 2 errors, 1 warning (900 mm² on the bed)"},
		{[]wayUp{judged(up, 412, 0, 0, 2), bad}, 1, false,
			"turn it over, so that the flat top lies on the bed: then it prints without support, with 2 notes (412 mm² on the bed)"},
		{[]wayUp{judged(side, 80, 0, 1, 0), bad}, 1, false,
			right + "needs no support, and leaves 1 warning instead of 2 errors, 1 warning (80 mm² on the bed)"},
		{[]wayUp{judged(side, 80, 1, 0, 0, 0.5, 0.25), bad}, 1, false,
			right + "needs support in 2 places (grid), about 0.8 g and 8 min; without support it has 1 error instead of 2 errors, 1 warning"},
		{[]wayUp{judged(side, 80, 2, 1, 0, 0.2), bad}, 1, false,
			right + "needs support in one place (grid), about 0.2 g and 2 min, and more of it lies on the bed: 80 mm² instead of 50 mm²; without support it has 2 errors, 1 warning both ways"},
		{[]wayUp{judged(side, 80, 2, 1, 0, 0.2), judged(pose.Down, 50, 2, 1, 3, 1.5)}, 1, false,
			right + "needs support in one place (grid), about 0.2 g and 2 min, and more of it lies on the bed: 80 mm² instead of 50 mm²; without support it has 2 errors, 1 warning both ways"},
		{[]wayUp{judged(side, 80, 1, 0, 0), bad}, 1, false, right + "leaves 1 error instead of 2 errors, 1 warning (80 mm² on the bed)"},
		{[]wayUp{judged(side, 1, 1, 0, 0, 0.2), bad}, 1, false,
			"turn it 90° about the y axis, so that it stands on the tip of its right side (+x): then it needs support in one place (grid), about 0.2 g and 2 min; without support it has 1 error instead of 2 errors, 1 warning; print it with a brim"},
		{[]wayUp{bad, judged(side, 80, 3, 0, 0)}, 0, false,
			"no other way up is better: as it lies it needs support in one place (grid), about 1.5 g and 15 min"},
		{[]wayUp{judged(pose.Down, 1, 1, 0, 0, 1.5)}, 0, false,
			"no other way up is better: as it lies it needs support in one place (grid), about 1.5 g and 15 min; print it with a brim"},
		{[]wayUp{judged(pose.Down, 50, 0, 1, 1)}, 0, false, "no other way up is better: as it lies it has 1 warning, 1 note"},
		{[]wayUp{judged(pose.Down, 50, 1, 0, 0)}, 0, true, "as it lies it has 1 error"},
		{[]wayUp{judged(pose.Down, 50, 0, 0, 0), judged(side, 80, 0, 0, 0)}, 0, false, "as it lies it prints without support (50 mm² on the bed)"},
	} {
		assert.Equal(t, c.words, upshot(c.best, c.lies, c.given))
	}
}

// TestMoreOnTheBedIsTold where it costs nothing, and only of a model that stays as it lies.
func TestMoreOnTheBedIsTold(t *testing.T) {
	const told = "; more of it would lie on the bed the other way: 100 mm² instead of 50 mm² (turn it over)"
	over := func(contact, height float64, errors, warnings, notes int) wayUp {
		w := judged(mesh.Vec{Z: 1}, contact, errors, warnings, notes)
		w.Height = height
		return w
	}
	for _, c := range []struct {
		now, other wayUp
		given      bool
		words      string
	}{
		{judged(pose.Down, 50, 0, 0, 0), over(100, 0, 0, 0, 0), false, told},
		{judged(pose.Down, 50, 0, 2, 0), over(100, 0, 0, 1, 0), false, told},
		{judged(pose.Down, 50, 0, 0, 0), over(100, 0, 0, 0, 0), true, ""},
		{judged(pose.Down, 50, 0, 0, 0), over(99, 0, 0, 0, 0), false, ""},
		{judged(pose.Down, 50, 0, 0, 0), over(100, 1, 0, 0, 0), false, ""},
		{judged(pose.Down, 50, 0, 0, 0), over(100, 0, 0, 0, 1), false, ""},
		{judged(pose.Down, 50, 0, 0, 0), over(100, 0, 0, 1, 0), false, ""},
		{judged(pose.Down, 50, 0, 0, 0), over(100, 0, 1, 0, 0), false, ""},
	} {
		words := upshot([]wayUp{c.now, c.other}, 0, c.given)
		if c.words == "" {
			assert.NotContains(t, words, "more of it")
		} else {
			assert.Contains(t, words, c.words)
		}
	}
}

// TestSupportThatIsNotEnough is said, so that nobody prints with it and fails all the same.
func TestSupportThatIsNotEnough(t *testing.T) {
	const told = "; support does not cure all errors"
	for _, uncured := range []int{0, 1} {
		lies, side := judged(pose.Down, 50, 2, 0, 0, 1), judged(mesh.Vec{X: 1}, 80, 1, 0, 0, 0.2)
		lies.Uncured, side.Uncured = uncured, uncured
		for _, words := range []string{upshot([]wayUp{lies}, 0, false), upshot([]wayUp{side, lies}, 1, false)} {
			assert.Equal(t, uncured > 0, strings.Contains(words, told), words)
		}
	}
}

// TestSupportIsSpokenOfWhereItIsAsked: rules that ask for sizes alone know nothing of it.
func TestSupportIsSpokenOfWhereItIsAsked(t *testing.T) {
	w := judged(pose.Down, 50, 0, 0, 0)
	for _, rules := range [][]*ruleset.Rule{nil, {{Measure: measure.Size.Name(), Level: finding.Error}}, {{Measure: measure.Overhang.Name(), Level: finding.None}}} {
		w.View.Rules = rules
		assert.Equal(t, "as it lies it has no finding (50 mm² on the bed)", upshot([]wayUp{w}, 0, false))
	}
}

// TestAWorseCountHasItsReason: who reads that more is left is told first why it is better.
func TestAWorseCountHasItsReason(t *testing.T) {
	side := mesh.Vec{X: 1}
	for _, c := range []struct {
		top, now figures
		words    string
	}{
		{figures{}, figures{Unfit: true}, "can be printed at all"},
		{figures{}, figures{Falls: true}, "does not fall over"},
		{figures{Uncured: 3}, figures{Uncured: 4}, "leaves less that support does not cure"},
		{figures{Risk: 1}, figures{Risk: 9}, "stands more firmly"},
		{figures{Scars: 10, Minutes: 1, Risk: 2}, figures{Scars: 540, Minutes: 9, Risk: 1}, "support touches less of it: 10 mm² instead of 540 mm²"},
		{figures{Scars: 43, Minutes: 3}, figures{Scars: 8, Minutes: 9}, "support takes less time"},
		{figures{Rough: 10}, figures{Rough: 3000}, "less of it comes out rough: 10 mm² instead of 3000 mm²"},
		{figures{}, figures{}, "costs no more than as it lies"},
	} {
		top, now := judged(side, 80, 3, 2, 0, 0.1), judged(pose.Down, 80, 2, 1, 0)
		top.figures, now.figures = c.top, c.now
		top.Errors, now.Errors = 3, 2
		top.Tip, now.Tip = 9, 9
		assert.Contains(t, upshot([]wayUp{top, now}, 1, false), ", and "+c.words+"; without support it has 3 errors, 2 warnings there, and 2 errors, 1 warning as it lies")
		top.structures = nil
		assert.Contains(t, upshot([]wayUp{top, now}, 1, false), "; it leaves 3 errors, 2 warnings, where it now has 2 errors, 1 warning")
	}
}

// TestLeftCountsByRule, the worst level first, then by name.
func TestLeftCountsByRule(t *testing.T) {
	out := &outcome{}
	for _, f := range []finding.Finding{
		{Rule: "b", Level: finding.Warning}, {Rule: "z", Level: finding.Error}, {Rule: "a", Level: finding.Warning},
		{Rule: "b", Level: finding.Warning}, {Rule: "n", Level: finding.Note},
	} {
		out.hits = append(out.hits, verdict.Hit{Finding: f})
	}
	assert.Equal(t, []finding.RuleCount{
		{Rule: "z", Level: finding.Error, Count: 1}, {Rule: "a", Level: finding.Warning, Count: 1},
		{Rule: "b", Level: finding.Warning, Count: 2}, {Rule: "n", Level: finding.Note, Count: 1},
	}, out.left())
	assert.Equal(t, finding.LevelCount{Error: 1, Warning: 3, Note: 1}, out.count())
	assert.Equal(t, []finding.RuleCount{}, (&outcome{}).left(), "never null in a report")
}

// TestWhatIsShown: as it lies always, the best first, nothing worse than the best and
// nothing twice.
func TestWhatIsShown(t *testing.T) {
	body := mesh.Weld(shapes.Cube(20))
	dress := func(list ...wayUp) []wayUp {
		for i := range list {
			list[i].Mesh = body
		}
		return list
	}
	q := &Question{Jobs: 1}
	x, y, z := mesh.Vec{X: 1}, mesh.Vec{Y: 1}, mesh.Vec{Z: 1}
	a, err := q.advice(context.Background(), dress(judged(x, 100, 0, 0, 0), judged(y, 100, 0, 0, 0), judged(z, 50, 0, 1, 0), judged(y.Scale(-1), 9, 1, 0, 0), judged(pose.Down, 5, 3, 0, 0)), false)
	require.NoError(t, err)
	require.Len(t, a.Poses, 3)
	assert.Equal(t, [3]float64{1, 0, 0}, a.Poses[0].Down)
	assert.Equal(t, [3]float64{0, 0, 1}, a.Poses[1].Down, "the second of two that come to the same is left out")
	assert.Equal(t, [3]float64{0, 0, -1}, a.Poses[2].Down)

	a, err = q.advice(context.Background(), dress(judged(x, 100, 0, 0, 0), judged(y, 80, 0, 0, 0), judged(z, 50, 0, 0, 0), judged(x.Scale(-1), 30, 0, 0, 0), judged(pose.Down, 5, 3, 0, 0)), false)
	require.NoError(t, err)
	require.Len(t, a.Poses, shownPoses, "the last place is left for the model as it lies")
	assert.Equal(t, [3]float64{0, 0, -1}, a.Poses[3].Down)

	_, err = q.advice(context.Background(), []wayUp{judged(x, 1, 0, 0, 0)}, false)
	assert.ErrorContains(t, err, "defect", "the model as it lies must be among them")
}
