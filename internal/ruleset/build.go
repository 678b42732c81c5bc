package ruleset

import (
	"maps"
	"math"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/near"
)

// ruleBuilder makes a checked rule of everything said about it.
type ruleBuilder struct {
	*complaints
	process catalog.Process
	given   map[string]setting // what the process was given as, by figure
	exact   bool               // the process is complete, so that limits can be computed
	solver  *limitSolver       // knows the limits of all rules; nil for the process
	rule    *Rule
	findAt  Position        // of its condition
	used    map[string]bool // limits that something speaks of
	lost    map[string]bool // limits already complained about
}

// build checks a merged rule.
func (b *ruleBuilder) build(m *mergedRule) *Rule {
	r := b.rule
	for f, t := range m.fields {
		if t != nil {
			r.Origins = append(r.Origins, Origin{fieldNames[f], t.pos()})
		}
	}
	if m.yields != nil && len(m.yields.rules) > 0 {
		r.YieldsTo = values(m.yields.rules)
		r.Origins = append(r.Origins, Origin{yieldsKey, m.yields.pos})
	}
	for _, l := range m.limits {
		got := b.solver.limit(m, l)
		r.Limits, b.lost[l.now.name] = append(r.Limits, got.Limit), got.lost
		r.Origins = append(r.Origins, Origin{"limits." + l.now.name, l.now.text.pos()})
	}
	b.findAt = m.fields[findField].pos()
	b.condition(m.fields[findField])
	b.words(m)
	b.params()
	for _, l := range m.limits {
		if !b.used[l.now.name] && !b.lost[l.now.name] {
			b.add(l.now.pos, "rule %s has no use for a limit %q%s", r.ID, l.now.name, near.Hint(l.now.name, slices.Collect(maps.Keys(b.used))))
		}
	}
	return r
}

func (b *ruleBuilder) words(m *mergedRule) {
	r := b.rule
	say, do, because, source := m.fields[sayField], m.fields[doField], m.fields[becauseField], m.fields[sourceField]
	r.Say, r.say = say.value, b.template(say)
	if do != nil {
		r.Do, r.do = do.value, b.template(do)
	}
	for _, p := range b.template(because) {
		if p.of != "" {
			b.add(because.pos(), "because speaks of the rule as such and cannot name %s, which differs from file to file", p.text)
			break
		}
		if p.value >= 0 {
			b.add(because.pos(), "because speaks of the rule as such and cannot name {%s}, which differs from site to site", r.def.Values[p.value].Name)
			break
		}
		r.Because += p.text
	}
	if source != nil {
		r.Source = source.value
	}
}

func (r *Rule) limit(name string) *Limit {
	if i := slices.IndexFunc(r.Limits, func(l Limit) bool { return l.Name == name }); i >= 0 {
		return &r.Limits[i]
	}
	return nil
}

// limit computes one limit. Its unit is the measure's where the measure takes it as
// a parameter, and else that of the file that gave it first. A limit that cannot be
// had stays as no number in no unit, so that the rest of the rule is checked too.
func (b *ruleBuilder) limit(l *mergedLimit, into *solvedLimit) (limit Limit, lost bool) {
	t := l.now.text
	value, unit, ok := b.limitValue(l)
	limit = Limit{l.now.name, catalog.Number, math.NaN(), t.value, t.pos(), into.Follows, appendNew(b.figuresIn(t.value), into.Figures)}
	if ok {
		limit.Unit, limit.Value = unit.Unit, value/unit.Factor
		if b.exact && (math.IsNaN(limit.Value) || math.IsInf(limit.Value, 0)) {
			b.add(t.at(0), "limit %s comes to no number with this process", l.now.name)
		} else if low, high := b.span(limit.Unit); b.exact && (limit.Value < low || limit.Value > high) {
			edge, over := low, "below"
			if limit.Value > high {
				edge, over = high, "above"
			}
			b.add(t.at(0), "limit %s of rule %s is %s; no value of %s lies %s %s", l.now.name, b.rule.ID,
				catalog.FormatLimit(limit.Value, limit.Unit), b.rule.Over(), over, catalog.FormatLimit(edge, limit.Unit))
		}
	}
	return limit, !ok
}

// span is the range in which a limit of the rule can be meant. What a value of the measure
// may fall below 0 in, a limit may too; angles are leans, from a wall at 0 to a flat ceiling
// at 90 deg; the rest only catches slips of the keyboard and wrong units.
func (b *ruleBuilder) span(u catalog.Unit) (low, high float64) {
	high = 1e15
	switch u {
	case catalog.Deg:
		high = 90
	case catalog.MM:
		high = maxBed
	case catalog.MM2:
		high = maxBed * maxBed
	}
	values := b.rule.def.Values
	if b.rule.Per == PerModel {
		values = WholeModel(b.solver.catalog) // the condition is not read yet
	}
	for _, v := range values {
		if v.Signed && v.Unit == u {
			low = -high
		}
	}
	return low, high
}

// limitValue is a limit in the bases with the catalogue unit it is counted in.
func (b *ruleBuilder) limitValue(l *mergedLimit) (float64, expression.Based, bool) {
	want, why, wanted := b.wanted(l)
	value, got, ok := b.compute(l.now.text, b.solver.follow)
	if !ok || got.Lost() {
		return 0, expression.Based{}, false
	}
	at := l.now.text.at(0)
	if wanted && !got.Is(want) {
		cure := ""
		if got == expression.Plain {
			cure = "; does the number lack its unit?"
			if bare := strings.TrimSpace(l.now.text.value); catalog.NumberLength(bare) == len(bare) {
				if based, ok := expression.UnitOf(want); ok {
					cure = "; write " + bare + " " + string(based.Unit)
				}
			}
		}
		b.add(at, "limit %s of rule %s must be %s (%s), this is %s%s", l.now.name, b.rule.ID, want, why, got, cure)
		return 0, expression.Based{}, false
	}
	unit, fine := expression.UnitOf(got)
	if !fine || got == expression.Truth {
		b.add(at, "limit %s is %s, which no measure is counted in", l.now.name, got)
		return 0, expression.Based{}, false
	}
	return value, unit, true
}

// wanted is what a limit is counted in, and whose word that is: the measure's where it
// takes the limit, and else that of the file that gave it first.
func (b *ruleBuilder) wanted(l *mergedLimit) (want expression.Dim, why string, ok bool) {
	for _, p := range b.rule.def.Params {
		if p.Name == l.now.name {
			return expression.Base(p.Unit).Dim, "measure " + b.rule.Measure, true
		}
	}
	_, want, ok = b.compute(l.first.text, func(name string, _ Position) (expression.Meaning, bool) { return b.solver.unit(name) })
	return want, l.first.text.pos().String(), ok
}

// compute evaluates an expression over the process and the limits of other rules.
func (b *ruleBuilder) compute(t text, other func(name string, at Position) (expression.Meaning, bool)) (float64, expression.Dim, bool) {
	find := func(name string) (expression.Meaning, bool) {
		if expression.Follows(name) {
			return other(name, t.pos())
		}
		return b.processName(name)
	}
	p, d, ok := b.compile(t, expression.Names{Find: find, Known: processNames(), Listed: listedNames(), Hint: b.solver.hint})
	if !ok {
		return 0, d, false
	}
	return p(nil), d, true
}

func (b *ruleBuilder) compile(t text, n expression.Names) (expression.Program, expression.Dim, bool) {
	p, d, bad := expression.Compile(t.value, n)
	if bad != nil {
		b.add(t.at(bad.Offset), "%s", bad.Text)
	}
	return p, d, bad == nil && b.knows(t)
}

// condition compiles what makes a site a finding.
func (b *ruleBuilder) condition(t *text) {
	p, d, ok := b.compile(*t, b.names())
	if ok && !d.Is(expression.Truth) {
		b.add(t.at(0), "find must be true or false, this is %s; compare it with a limit", d)
		ok = false
	}
	if !ok {
		p = expression.Constant(math.NaN())
		for _, l := range b.rule.Limits {
			b.used[l.Name] = true // no second complaint about the same slip
		}
	}
	if ok && len(b.rule.asks) == 0 {
		b.add(t.at(0), "find names no value of the model; name one, as in size.z > 200 mm")
	}
	b.rule.Find, b.rule.match, b.rule.findAt = t.value, p, t.pos()
}
