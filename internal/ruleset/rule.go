package ruleset

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/finding"
)

// Rule is a checked rule with every set, file and place laid over it. It does not
// change after loading and is safe for concurrent use.
type Rule struct {
	ID      string
	Per     Per
	Measure string // that a rule over places judges; "" of one over the whole model
	Level   finding.Level
	Find    string // the condition, as written
	// YieldsTo are the rules that speak instead of this one where they find the same
	// place. No rule yields to itself, by way of others either.
	YieldsTo []string
	Say      string // words with places to fill
	Do       string
	Because  string // why it matters, filled in
	Source   string
	Limits   []Limit  // in the order in which they were first given
	Origins  []Origin // where each field got its present value

	// def is the measure, or, of a rule over the whole model, one made of all that it speaks of.
	def     *catalog.Measure
	asks    []Ask
	seen    []seen // of a rule over the whole model, where each value comes from
	open    bool   // of a rule over the whole model: it asks for what is known only when the model is opened
	match   expression.Program
	say, do template
	findAt  Position
	err     error // of the places that hold, instead of an answer
}

// Limit is one number that a rule compares with.
type Limit struct {
	Name  string
	Unit  catalog.Unit
	Value float64
	Text  string // the quantity or expression, as written
	From  Position
	// Follows are the limits of other rules that it is made of, each with where it got its
	// value: the first few of a long chain.
	Follows []Origin
	// Figures are those of the process that say what the printer can do, and that it is made of.
	Figures []Figure
}

// Figure is what a printer can do in one thing, as process.NAME says it.
type Figure struct {
	Name   string
	Unit   catalog.Unit
	Value  float64
	Text   string // the expression, as written; "" of a plain quantity
	From   Position
	Source string // where the file says that it comes from, "" where it says nothing
}

// Origin is where a field of a rule got its value; limits are named limits.NAME, those of
// another rule rules.ID.limits.NAME.
type Origin struct {
	Field string
	Position
}

// Match says whether the rule holds at a site. The values are in the measure's
// order and units. A condition without an answer, such as 0/0, is an error.
func (r *Rule) Match(values []float64) (bool, error) {
	if r.err != nil {
		return false, r.err
	}
	if len(values) != len(r.def.Values) {
		return false, fmt.Errorf("rule %s: measure %s has %d values, not %d", r.ID, r.Judges(), len(r.def.Values), len(values))
	}
	truth := r.match(values)
	if math.IsNaN(truth) {
		return false, fmt.Errorf("rule %s: its condition (%s) has no answer here: %s", r.ID, r.findAt, r.describe(values))
	}
	return truth != 0, nil
}

// describe lists a site's values.
func (r *Rule) describe(values []float64) string {
	text := ""
	for i, v := range r.def.Values {
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("%s = %v", v.Name, values[i])
	}
	return text
}

// Message is what is wrong at a site, in the rule's words.
func (r *Rule) Message(values []float64) string { return r.say.fill(values) }

// Action is what to do about it, in the rule's words, or "".
func (r *Rule) Action(values []float64) string { return r.do.fill(values) }

// General is what the rule says and advises of no place in particular: limits and figures
// of the process are filled in, and values of a place stay names in braces.
func (r *Rule) General() (say, do string) {
	return r.say.general(r.def), r.do.general(r.def)
}

// Units are the units of the values and limits of a rule, by name, limits behind
// "limits."; what has none is left out. Limits that only a place brings are among them.
func (c *Config) Units(id string) map[string]string {
	units := map[string]string{}
	set := func(name string, unit catalog.Unit) {
		if unit != catalog.Number {
			units[name] = string(unit)
		}
	}
	for _, v := range c.alone() {
		for _, r := range v.all {
			if r.ID != id {
				continue
			}
			for _, value := range r.def.Values {
				set(value.Name, value.Unit)
			}
			for _, l := range r.Limits {
				set("limits."+l.Name, l.Unit)
			}
		}
	}
	return units
}

// Values names a site's values, for a report.
func (r *Rule) Values(values []float64) finding.Values {
	out := make(finding.Values, len(values))
	for i, v := range r.def.Values {
		out[i] = finding.Named{Name: v.Name, Unit: string(v.Unit), Value: values[i]}
	}
	return out
}

// LimitValues names the rule's limits, for a report.
func (r *Rule) LimitValues() finding.Values {
	out := make(finding.Values, len(r.Limits))
	for i, l := range r.Limits {
		out[i] = finding.Named{Name: l.Name, Unit: string(l.Unit), Value: l.Value}
	}
	return out
}
