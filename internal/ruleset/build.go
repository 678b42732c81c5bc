package ruleset

import (
	"math"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// ruleBuilder makes a checked rule of everything said about it.
type ruleBuilder struct {
	*complaints
	process catalog.Process
	exact   bool // the process is complete, so that limits can be computed
	rule    *Rule
	used    map[string]bool // limits that something speaks of
}

// build checks a merged rule; nil after a complaint that leaves nothing to check.
func (b *ruleBuilder) build(m *mergedRule, list []catalog.Measure) *Rule {
	b.rule = &Rule{ID: m.id, Measure: m.measure.value, Level: finding.Level(m.level.value), def: find(list, m.measure.value)}
	b.used = map[string]bool{}
	r := b.rule
	for _, f := range m.fields() {
		if f.text != nil {
			r.Origins = append(r.Origins, Origin{f.name, f.text.pos()})
		}
	}
	for _, l := range m.limits {
		b.limit(l)
		r.Origins = append(r.Origins, Origin{"limits." + l.now.name, l.now.text.pos()})
	}
	if len(r.Limits) < len(m.limits) {
		return nil
	}
	r.params = make([]float64, len(r.def.Params))
	for i, p := range r.def.Params {
		r.params[i] = p.Default
		if l := r.limit(p.Name); l != nil {
			r.params[i], b.used[p.Name] = l.Value, true
		}
	}
	b.condition(m.find)
	b.words(m)
	for _, l := range m.limits {
		if !b.used[l.now.name] {
			b.add(l.now.pos, "rule %s has no use for a limit %q%s", r.ID, l.now.name, hint(l.now.name, usedNames(b.used)))
		}
	}
	return r
}

func (b *ruleBuilder) words(m *mergedRule) {
	r := b.rule
	r.Say, r.say = m.say.value, b.template(m.say)
	if m.do != nil {
		r.Do, r.do = m.do.value, b.template(m.do)
	}
	for _, p := range b.template(m.because) {
		if p.value >= 0 {
			b.add(m.because.pos(), "because speaks of the rule as such and cannot name {%s}, which differs from site to site", r.def.Values[p.value].Name)
			break
		}
		r.Because += p.text
	}
	if m.source != nil {
		r.Source = m.source.value
	}
}

func usedNames(used map[string]bool) []string {
	var names []string
	for name := range used {
		names = append(names, name)
	}
	return sorted(names)
}

func (r *Rule) limit(name string) *Limit {
	for i := range r.Limits {
		if r.Limits[i].Name == name {
			return &r.Limits[i]
		}
	}
	return nil
}

// limit computes one limit. Its unit is the measure's where the measure takes it as
// a parameter, and else that of the file that gave it first.
func (b *ruleBuilder) limit(l *mergedLimit) {
	first, _, ok := b.compute(l.first.text)
	if !ok {
		return
	}
	value, got := first, l.firstUnit(b)
	if l.now != l.first {
		if value, got, ok = b.compute(l.now.text); !ok {
			return
		}
	}
	want, why := l.firstUnit(b), "as in "+l.first.text.pos().String()
	for _, p := range b.rule.def.Params {
		if p.Name == l.now.name {
			want, why = base(p.Unit).dim, "by measure "+b.rule.Measure
		}
	}
	if got != want {
		cure := ""
		if got == plain {
			cure = "; does the number lack its unit?"
		}
		b.add(l.now.text.at(0), "limit %s of rule %s is counted in %s %s, but this is %s%s", l.now.name, b.rule.ID, want, why, got, cure)
		return
	}
	unit, fine := known(got)
	if !fine || got == truth {
		b.add(l.now.text.at(0), "limit %s is %s, which no measure is counted in", l.now.name, got)
		return
	}
	if value /= unit.factor; b.exact && (math.IsNaN(value) || math.IsInf(value, 0)) {
		b.add(l.now.text.at(0), "limit %s comes to no number with this process", l.now.name)
		return
	}
	b.rule.Limits = append(b.rule.Limits, Limit{l.now.name, unit.unit, value, l.now.text.value, l.now.text.pos()})
}

// compute evaluates an expression over the process.
func (b *ruleBuilder) compute(t text) (float64, dim, bool) {
	p, d, ok := b.compile(t, names{b.processName, processNames()})
	if !ok {
		return 0, d, false
	}
	return p(nil), d, true
}

func (l *mergedLimit) firstUnit(b *ruleBuilder) dim {
	_, d, _ := b.compute(l.first.text)
	return d
}

func (b *ruleBuilder) compile(t text, n names) (program, dim, bool) {
	tree, bad := parseExpression(t.value)
	if bad == nil {
		var p program
		var d dim
		if p, d, bad = compile(tree, n); bad == nil {
			return p, d, true
		}
	}
	b.add(t.at(bad.offset), "%s", bad.text)
	return nil, plain, false
}

// condition compiles what makes a site a finding.
func (b *ruleBuilder) condition(t *text) {
	p, d, ok := b.compile(*t, b.names())
	if ok && d != truth {
		b.add(t.at(0), "find must be true or false, this is %s; compare it with a limit", d)
		ok = false
	}
	if !ok {
		p = constant(math.NaN())
		for _, l := range b.rule.Limits {
			b.used[l.Name] = true // no second complaint about the same slip
		}
	}
	b.rule.Find, b.rule.match, b.rule.findAt = t.value, p, t.pos()
}
