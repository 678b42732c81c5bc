package ruleset

import (
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// mergedRule is everything said about one rule, the last word winning field by field.
type mergedRule struct {
	patch
	limits []*mergedLimit
	placed bool // a place changes it
}

// mergedLimit is a limit as given first, which fixes its unit, and as given last.
type mergedLimit struct{ first, now *limitText }

type fieldText struct {
	name string
	text *text
}

// fields lists the rule's own fields, without limits.
func (p *patch) fields() []fieldText {
	return []fieldText{
		{"measure", p.measure}, {"find", p.find}, {"level", p.level}, {"say", p.say},
		{"do", p.do}, {"because", p.because}, {"source", p.source},
	}
}

// neededFields are what a rule cannot do without.
const neededFields = "measure, find, level, say, because"

// merger lays patches over each other.
type merger struct {
	*complaints
	rules  map[string]*mergedRule
	broken map[string]bool // rules already complained about
	quiet  bool            // a set could not be read, so any rule may be in it
}

// ids lists the rules known so far.
func (m *merger) ids() []string {
	var out []string
	for id := range m.rules {
		out = append(out, id)
	}
	return sorted(out)
}

// lay puts one file's patches over what is there. In a place nothing new may begin.
func (m *merger) lay(patches []*patch, place bool) {
	for _, p := range patches {
		r := m.rules[p.id]
		switch {
		case r == nil && (m.quiet || m.broken[p.id]):
			continue
		case r == nil && place:
			m.add(p.pos, "no rule is called %q%s; a place changes rules, a new one belongs under rules with level: none", p.id, hint(p.id, m.ids()))
			continue
		case r == nil:
			if r = m.begin(p); r == nil {
				continue
			}
			m.rules[p.id] = r
		case p.measure != nil && r.measure.value != p.measure.value:
			m.add(p.measure.pos(), "rule %s judges %s; give a rule over %s a name of its own", p.id, r.measure.value, p.measure.value)
			continue
		}
		r.take(p)
		r.placed = r.placed || place
	}
}

// begin makes a new rule, if the patch has all that one needs.
func (m *merger) begin(p *patch) *mergedRule {
	if p.broken {
		m.broken[p.id] = true
		return nil
	}
	var lacks []string
	for _, f := range p.fields() {
		if f.text == nil && strings.Contains(neededFields, f.name) {
			lacks = append(lacks, f.name)
		}
	}
	switch {
	case len(lacks) == 0:
		return &mergedRule{patch: patch{id: p.id, pos: p.pos}}
	case p.measure == nil && p.find == nil && p.say == nil:
		m.add(p.pos, "no rule is called %q%s; a new one needs %s", p.id, hint(p.id, m.ids()), neededFields)
	default:
		m.add(p.pos, "rule %s is new and lacks %s", p.id, strings.Join(lacks, ", "))
	}
	return nil
}

func (r *mergedRule) take(p *patch) {
	for _, f := range []struct{ to, from **text }{
		{&r.measure, &p.measure}, {&r.find, &p.find}, {&r.level, &p.level}, {&r.say, &p.say},
		{&r.do, &p.do}, {&r.because, &p.because}, {&r.source, &p.source},
	} {
		if *f.from != nil {
			*f.to = *f.from
		}
	}
	for i := range p.limits {
		r.takeLimit(&p.limits[i])
	}
}

func (r *mergedRule) takeLimit(l *limitText) {
	for _, old := range r.limits {
		if old.now.name == l.name {
			old.now = l
			return
		}
	}
	r.limits = append(r.limits, &mergedLimit{l, l})
}

// View is the rules in force for some models: those of a path after every place that
// speaks of it.
type View struct {
	Process catalog.Process
	Unit    string  // unit of formats that carry none
	Rules   []*Rule // those whose level is not none, sorted by ID

	// Err is not nil where several places hold that contradict each other; each rule's
	// Match then returns it.
	Err error

	all []*Rule
	ids []string // every rule spoken of, those with mistakes too
}

// Scale is the length in mm of one unit of a format that carries none.
func (v *View) Scale() float64 {
	unit, _ := catalog.Spelled(v.Unit)
	return unit.Factor
}

// view merges sets, the configuration and places into rules.
func (l *library) view(main *layer, places []*place) *View {
	v := &View{Unit: main.main.unit}
	sets, material := l.stacked(main, places)
	for _, p := range places {
		if p.unit != "" {
			v.Unit = p.unit
		}
	}
	exact := l.mergeProcess(sets, &v.Process, material, main.start)
	m := &merger{l.complaints, map[string]*mergedRule{}, map[string]bool{}, l.incomplete}
	over := false // whether what is laid lies over the configuration
	for _, set := range sets {
		m.lay(set.rules, false)
		for _, p := range set.rules {
			if r := m.rules[p.id]; over && r != nil {
				r.placed = true
			}
		}
		over = over || set == main
	}
	for _, p := range places {
		m.lay(p.rules, true)
	}
	for _, id := range m.ids() {
		r := l.kept(v, m.rules[id])
		if r == nil {
			b := &ruleBuilder{complaints: l.complaints, process: v.Process, exact: exact}
			r = b.build(m.rules[id], l.catalog)
		}
		v.all = append(v.all, r)
		if r.Level != finding.None {
			v.Rules = append(v.Rules, r)
		}
	}
	v.ids = m.ids()
	for id := range m.broken {
		v.ids = append(v.ids, id)
	}
	return v
}

// spoil makes every rule of the view answer with the error, so that a model it is for
// cannot pass.
func (v *View) spoil(err error) {
	if v.Err = err; err == nil {
		return
	}
	v.Rules = nil
	for i, r := range v.all {
		spoilt := *r // the rule may be shared with other views
		spoilt.err = err
		v.all[i] = &spoilt
		if r.Level != finding.None {
			v.Rules = append(v.Rules, &spoilt)
		}
	}
}

// kept is the rule as it holds without places, where none touches it or the process
// that its limits follow; nil elsewhere.
func (l *library) kept(v *View, m *mergedRule) *Rule {
	if l.base == nil || m.placed || v.Process != l.base.Process {
		return nil
	}
	for _, r := range l.base.all {
		if r.ID == m.id {
			return r
		}
	}
	return nil
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}
