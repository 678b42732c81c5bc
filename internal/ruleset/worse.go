package ruleset

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/finding"
)

// A finding may be worse than it was accepted by a tenth of each value that decides it,
// and by at least the steps in which shapes are sampled, since values come out a little
// otherwise when a model is turned or exported again. Angles are spared the step alone.
// Judgement.
const worseShare = 0.1

var worseStep = map[catalog.Unit]float64{
	catalog.MM: 0.1, catalog.MM2: 1, catalog.MM3: 1, catalog.Deg: 2, catalog.Number: 0.01,
	catalog.Gram: 0, catalog.Minute: 0, catalog.Flow: 0, catalog.Dense: 0, catalog.PerKg: 0, catalog.Byte: 0,
}

// A place may be that much larger than it was, seen from above: the box around a square
// grows by the root of 2 when it is turned by 45 degrees.
const (
	largerShare = 1.5
	largerStep  = 1.0 // mm
)

func spared(accepted float64, u catalog.Unit) float64 {
	step, ok := worseStep[u]
	switch {
	case !ok:
		panic(fmt.Sprintf("ruleset: nothing is said about how exact %q is", u))
	case u == catalog.Deg:
		return step
	}
	return max(float64(worseShare*math.Abs(accepted)), step)
}

// worse says in what a finding is worse than an accepted one of its rule, or "".
func (v *View) worse(a, f *FindingRecord) string {
	i := slices.IndexFunc(v.all, func(r *Rule) bool { return r.ID == f.Rule })
	if i < 0 {
		return ""
	}
	r := v.all[i]
	values := make([]float64, len(r.def.Values))
	for k, def := range r.def.Values {
		value, ok := f.Values.Get(def.Name)
		if !ok {
			panic(fmt.Sprintf("ruleset: a finding of %s has no value %q", r.ID, def.Name))
		}
		values[k] = value
	}
	for k, def := range r.def.Values {
		was, known := a.Values.Get(def.Name)
		if !known || math.IsNaN(values[k]) {
			continue
		}
		if text := v.worseIn(r, values, k, was); text != "" {
			return text
		}
	}
	if most := float64(largerShare*a.Size) + largerStep; f.Size > most {
		return "larger than accepted: its place is " + compared(2*f.Size, 2*a.Size, catalog.MM, " across")
	}
	return ""
}

// worseIn says that one value of a finding is worse than it was.
func (v *View) worseIn(r *Rule, values []float64, k int, was float64) string {
	def := &r.def.Values[k]
	over := values[k] - was
	exact := def.Unit == catalog.Bool || r.Per == PerFolder // names are counted, not measured
	if values[k] == was || !exact && math.Abs(over) <= spared(was, def.Unit) {
		return ""
	}
	up, down := v.worsens(r, values, k)
	word := "worse than accepted: "
	switch {
	case up && down:
		word = "not as accepted: "
	case over > 0 && !up, over < 0 && !down:
		return ""
	}
	return word + def.Name + " " + compared(values[k], was, def.Unit, "")
}

// compared shows two values, with more decimals where they would look the same.
func compared(now, was float64, u catalog.Unit, behind string) string {
	for more := 0; ; more++ {
		a, b := catalog.FormatFine(now, u, more), catalog.FormatFine(was, u, more)
		if a != b || more >= catalog.MaxDecimals {
			return fmt.Sprintf("%s%s, accepted %s", a, behind, b)
		}
	}
}

// worsens says in which direction a value of a finding is worse. The rules know: where
// the finding ends, or a milder rule of the same measure takes its place, when the value
// falls, more of it is worse, and the other way round. Where it ends both ways, both are
// answered; where the value decides nothing, neither.
func (v *View) worsens(r *Rule, values []float64, k int) (up, down bool) {
	name := r.def.Values[k].Name
	if !slices.ContainsFunc(v.all, func(o *Rule) bool { return o.def == r.def && strings.Contains(expression.Spaced(o.Find), name) }) {
		return false, false // no rule speaks of it
	}
	now := v.severity(r.def, values)
	trial := slices.Clone(values)
	milder := func(steps []float64) bool {
		for _, x := range steps {
			trial[k] = x
			if s := v.severity(r.def, trial); s != now {
				return s < now
			}
		}
		return false
	}
	x := values[k]
	if r.def.Values[k].Unit == catalog.Bool {
		flips := milder([]float64{1 - x})
		return flips, flips
	}
	return milder(ladder(x, -1)), milder(ladder(x, 1))
}

// ladder lists the values that x is tried at, upwards or downwards: each a quarter more
// or less, to a million times x or to a millionth of it, and for less also past nothing.
// A stretch between two limits is seen unless it is narrower than that quarter.
func ladder(x, sign float64) []float64 {
	const steps, step = 64, 1.25
	var list []float64
	if math.IsInf(x, 0) {
		if sign < 0 {
			list = append(list, 0)
		}
		return list
	}
	for n, by := 0, float64(step); n < steps; n, by = n+1, float64(by*step) {
		switch {
		case x == 0:
			list = append(list, float64(sign*by)*1e-3)
		case sign*x > 0:
			list = append(list, float64(x*by))
		default:
			list = append(list, x/by)
		}
	}
	if sign*x < 0 {
		list = append(list, -x)
	}
	return list
}

// severity weighs what the rules of a measure find at such a place: any error outweighs
// all warnings. A rule that has no answer finds nothing.
func (v *View) severity(measure *catalog.Measure, values []float64) (weight int) {
	for _, r := range v.all {
		if r.def != measure {
			continue
		}
		if holds, err := r.Match(values); err == nil && holds {
			weight += map[finding.Level]int{finding.Error: 1e8, finding.Warning: 1e4, finding.Note: 1}[r.Level]
		}
	}
	return weight
}

// anotherShape says in what a model differs from that on which a finding on the whole of
// it was accepted.
func anotherShape(a *acceptedModel, m *Accepted) string {
	const what = "accepted on another shape: "
	if math.Abs(a.Tall-m.Tall) > float64(shapeAlike*max(a.Tall, m.Tall)) {
		return what + "it is " + compared(m.Tall, a.Tall, catalog.MM, " tall")
	}
	return what + "its surface is " + compared(m.Surface, a.Surface, catalog.MM2, "")
}
