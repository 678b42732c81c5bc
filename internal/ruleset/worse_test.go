package ruleset

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// valuesAt are the values of a place in the measure's order: those named, and 0 else.
func valuesAt(r *Rule, words string) []float64 {
	values := make([]float64, len(r.def.Values))
	for _, w := range strings.Fields(words) {
		name, number, _ := strings.Cut(w, "=")
		var x float64
		if number == "inf" {
			x = math.Inf(1)
		} else if _, err := fmt.Sscan(number, &x); err != nil {
			panic(err)
		}
		values[r.def.Index(name)] = x
	}
	return values
}

// TestRulesSayWhatIsWorse holds the direction in which each value of the built-in rules
// is worse.
func TestRulesSayWhatIsWorse(t *testing.T) {
	view := load(t, one("version: 1\n")).For("a.stl")
	for _, c := range []struct{ rule, at, up, down string }{
		{"max-overhang-angle", "angle=90 reach=8 area=100", "angle reach", ""},
		{"max-bridge-length", "span=70 ledge=10", "span ledge", ""},
		{"sagging-bridge", "span=15 ledge=10", "span ledge", ""},
		{"min-wall", "upright=1 thickness=0.3 area=50 width=9", "area", "thickness"},
		{"thin-wall", "upright=1 thickness=0.6 area=50 width=9", "area", "thickness"},
		{"no-floating-islands", "area=20 widest=20 joins=0", "widest", ""},
		{"no-floating-islands", "area=20 widest=20 joins=1 rise=5", "widest rise", ""},
		{"flat-base", "flat=1 area=5", "", "flat"},
		{"plausible-size", "longest=0.5", "", "longest"},
		{"plausible-size", "longest=5000", "longest", ""},
	} {
		r := rule(t, view.Rules, c.rule)
		values := valuesAt(r, c.at)
		holds, err := r.Match(values)
		require.NoError(t, err)
		require.True(t, holds, "%s at %s", c.rule, c.at)
		var more, less []string
		for k, def := range r.def.Values {
			if def.Unit == "bool" {
				continue
			}
			up, down := view.worsens(r, values, k)
			if up {
				more = append(more, def.Name)
			}
			if down {
				less = append(less, def.Name)
			}
		}
		assert.Equal(t, c.up, strings.Join(more, " "), "%s at %s", c.rule, c.at)
		assert.Equal(t, c.down, strings.Join(less, " "), "%s at %s", c.rule, c.at)
	}
}

// TestWorseThanAccepted holds the tolerance, and the words past it.
func TestWorseThanAccepted(t *testing.T) {
	view := load(t, one("version: 1\nrules: {odd: {measure: wall, find: length > 5 mm and length < 20 mm, level: error, say: odd, because: it is}}\n")).For("a.stl")
	for _, c := range []struct{ rule, was, now, want string }{
		{"max-overhang-angle", "angle=90 reach=8 area=100", "angle=90 reach=8.79 area=109", ""},
		{"max-overhang-angle", "angle=90 reach=8 area=100", "angle=90 reach=16 area=100", "worse than accepted: reach 16.0 mm, accepted 8.00 mm"},
		{"max-overhang-angle", "angle=80 reach=8 area=100", "angle=90 reach=3 area=100", "worse than accepted: angle 90°, accepted 80°"},
		{"max-overhang-angle", "angle=90 reach=8 area=100", "angle=90 reach=3 area=10", ""},
		{"sagging-bridge", "span=12 ledge=10", "span=60 ledge=10", "worse than accepted: span 60.0 mm, accepted 12.0 mm"},
		{"sagging-bridge", "span=40 ledge=10", "span=12 ledge=10", ""},
		{"min-wall", "upright=1 thickness=0.35 area=50", "upright=1 thickness=0.26 area=50", ""},
		{"min-wall", "upright=1 thickness=0.35 area=50", "upright=1 thickness=0.2 area=50", "worse than accepted: thickness 0.20 mm, accepted 0.35 mm"},
		{"min-wall", "upright=1 thickness=0.2 area=50", "upright=1 thickness=0.35 area=50", ""},
		{"no-floating-islands", "widest=20 joins=1 rise=5", "widest=20 joins=1 rise=inf", "worse than accepted: rise no end, accepted 5.00 mm"},
		{"no-floating-islands", "widest=20 joins=1 rise=inf", "widest=20 joins=1 rise=5", ""},
		{"no-floating-islands", "widest=20 joins=1 rise=0.1", "widest=20 rise=0.1", "not as accepted: joins no, accepted yes"},
		{"odd", "length=8", "length=12", "not as accepted: length 12.0 mm, accepted 8.00 mm"},
	} {
		r := rule(t, view.Rules, c.rule)
		accepted := &FindingRecord{Rule: c.rule, Values: r.Values(valuesAt(r, c.was))}
		found := &FindingRecord{Rule: c.rule, Values: r.Values(valuesAt(r, c.now))}
		assert.Equal(t, c.want, view.worse(accepted, found), "%s: %s after %s", c.rule, c.now, c.was)
	}
	accepted := &FindingRecord{Rule: "odd", Size: 5, Values: finding.Values{}}
	odd := rule(t, view.Rules, "odd")
	none := odd.Values(valuesAt(odd, ""))
	assert.Empty(t, view.worse(accepted, &FindingRecord{Rule: "odd", Size: 8.5, Values: none}))
	assert.Equal(t, "larger than accepted: its place is 20.0 mm across, accepted 10.0 mm", view.worse(accepted, &FindingRecord{Rule: "odd", Size: 10, Values: none}))
}

// TestNothingIsReadAsZero holds that a value, unit or spelling which is not there is never
// taken for 0: a finding without its values would pass for one that is no worse.
func TestNothingIsReadAsZero(t *testing.T) {
	view := load(t, one("")).For("a.stl")
	r := rule(t, view.Rules, "flat-base")
	accepted := &FindingRecord{Rule: r.ID, Values: r.Values(valuesAt(r, "flat=1"))}
	assert.PanicsWithValue(t, `ruleset: a finding of flat-base has no value "flat"`, func() {
		view.worse(accepted, &FindingRecord{Rule: r.ID, Values: finding.Values{{Name: "area", Value: 5}}})
	})
	assert.PanicsWithValue(t, `ruleset: nothing is said about how exact "mm4" is`, func() { spared(1, "mm4") })
	assert.PanicsWithValue(t, "ruleset: mile is no unit of length", func() { fileUnit("mile") })
	for _, word := range fileUnits {
		assert.Positive(t, fileUnit(word).Factor, word)
	}
	for _, sp := range catalog.Spellings() {
		assert.NotPanics(t, func() { spared(1, sp.Unit) }, sp.Word)
	}
}
