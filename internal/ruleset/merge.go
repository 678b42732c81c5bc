package ruleset

import (
	"maps"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/near"
)

// mergedRule is everything said about one rule, the last word winning field by field.
type mergedRule struct {
	rulePatch
	limits []*mergedLimit
	placed bool // a place changes it
}

// mergedLimit is a limit as given first, which fixes its unit, and as given last.
type mergedLimit struct{ first, now *limitText }

// merger lays patches over each other.
type merger struct {
	*complaints
	catalog []catalog.Measure
	rules   map[string]*mergedRule
	broken  map[string]bool // rules already complained about
	quiet   bool            // a set could not be read, so any rule may be in it
}

// ids lists the rules known so far.
func (m *merger) ids() []string { return slices.Sorted(maps.Keys(m.rules)) }

// lay puts one file's patches over what is there. In a place nothing new may begin.
func (m *merger) lay(patches []*rulePatch, place bool) {
	for _, p := range patches {
		r := m.rules[p.id]
		for i := range p.strays {
			known := slices.Clone(p.limits)
			if r != nil {
				for _, l := range r.limits {
					known = append(known, *l.now)
				}
			}
			p.strays[i].complain(m.complaints, p.id, known)
		}
		switch {
		case r == nil && (m.quiet || m.broken[p.id]):
			continue
		case r == nil && place:
			m.add(p.pos, "no rule is called %q%s; a place changes rules, a new one belongs under rules with level: none", p.id, near.Hint(p.id, m.ids()))
			continue
		case r == nil:
			if r = m.begin(p); r == nil {
				continue
			}
			m.rules[p.id] = r
		case !m.sameKind(p, r):
			continue
		}
		r.take(p)
		r.placed = r.placed || place
	}
}

// begin makes a new rule, if the patch has all that one needs.
func (m *merger) begin(p *rulePatch) *mergedRule {
	var lacks []string
	for f, t := range p.fields {
		if t == nil && p.needs(field(f)) && !p.says(fieldNames[f]) {
			lacks = append(lacks, fieldNames[f])
		}
	}
	if p.broken {
		if len(lacks) > 0 && p.founds() && p.fields[findField] != nil {
			m.add(p.pos, "rule %s is new and lacks %s", p.id, strings.Join(lacks, ", "))
		}
		return m.beginBroken(p)
	}
	switch {
	case len(lacks) == 0:
		return &mergedRule{rulePatch: rulePatch{id: p.id, pos: p.pos}}
	case !p.founds() && p.fields[findField] == nil && p.fields[sayField] == nil:
		m.add(p.pos, "no rule is called %q%s; a new one needs %s", p.id, near.Hint(p.id, m.ids()), neededFields)
	default:
		m.add(p.pos, "rule %s is new and lacks %s%s", p.id, strings.Join(lacks, ", "), p.meansModel(m.catalog))
	}
	return nil
}

// says reports whether the patch has a key, right or wrong, or one that is nearly it.
func (p *rulePatch) says(name string) bool {
	return slices.ContainsFunc(p.said, func(s string) bool { return s == name || near.Nearest(s, []string{name}) != "" })
}

// beginBroken makes a rule of a patch with mistakes, so that the rest of it is checked as
// well; nil where not enough is there. What cannot be read is filled in: such a rule is
// never in force, since the configuration is refused.
func (m *merger) beginBroken(p *rulePatch) *mergedRule {
	if !p.founds() || p.fields[findField] == nil {
		m.broken[p.id] = true
		return nil
	}
	r := &mergedRule{rulePatch: rulePatch{id: p.id, pos: p.pos}}
	for f, t := range p.fields {
		if t == nil && p.needs(field(f)) {
			r.fields[f] = &text{string(finding.Note), p.fields[findField].src, p.fields[findField].node}
		}
	}
	return r
}

func (r *mergedRule) take(p *rulePatch) {
	for f, t := range p.fields {
		if t != nil {
			r.fields[f] = t
		}
	}
	if p.yields != nil {
		r.yields = p.yields
	}
	for i := range p.limits {
		r.takeLimit(&p.limits[i])
	}
}

func levelOf(r *mergedRule) finding.Level { return finding.Level(r.fields[levelField].value) }

// follows says that a limit of the rule may follow that of another, which a place may change.
func (r *mergedRule) follows() bool {
	return slices.ContainsFunc(r.limits, func(l *mergedLimit) bool { return strings.Contains(l.now.text.value, "rules.") })
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
	Unit    catalog.Spelling // unit of formats that carry none; its factor leads to mm
	Rules   []*Rule          // those whose level is not none, sorted by ID

	// Err is not nil where several places hold that contradict each other; each rule's
	// Match then returns it.
	Err error

	all []*Rule
	ids []string // every rule spoken of, those with mistakes too
}

// fileUnit finds the unit of a file. Only those that the tables let through come here.
func fileUnit(word string) catalog.Spelling {
	unit, ok := catalog.Spelled(word)
	if !ok || unit.Unit != catalog.MM {
		panic("ruleset: " + word + " is no unit of length")
	}
	return unit
}

// view merges sets, the configuration and places into rules.
func (l *library) view(main *document, places []*place) *View {
	v := &View{Unit: fileUnit(main.main.unit)}
	sets, material := l.stacked(main, places)
	for _, p := range places {
		if p.unit != "" {
			v.Unit = fileUnit(p.unit)
		}
	}
	given, exact := l.mergeProcess(sets, &v.Process, material, main.start)
	m := &merger{l.complaints, l.catalog, map[string]*mergedRule{}, map[string]bool{}, l.incomplete}
	over := false // whether what is laid lies over the configuration
	for _, set := range sets {
		m.lay(l.patches(set, sets), false)
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
	m.checkYields()
	solver := newLimitSolver(m, v.Process, given, exact)
	for _, id := range m.ids() {
		r := l.unchanged(v, m.rules[id])
		if r == nil {
			r = solver.builder(m.rules[id]).build(m.rules[id])
		}
		v.all = append(v.all, r)
		if r.Level != finding.None {
			v.Rules = append(v.Rules, r)
		}
	}
	v.ids = slices.AppendSeq(m.ids(), maps.Keys(m.broken))
	return v
}

// patches is what a set says about rules. The set of a material changes limits of rules
// that other built-in sets bring; where none of these is in use, that is left out: whoever
// has only rules of their own cannot mend a built-in file.
func (l *library) patches(set *document, sets []*document) []*rulePatch {
	if l.material(set.name) != set {
		return set.rules
	}
	return slices.DeleteFunc(slices.Clone(set.rules), func(p *rulePatch) bool {
		return !slices.ContainsFunc(sets, func(s *document) bool { return l.builtins[s.name] == s && s.begins(p.id) })
	})
}

// begins says whether a file says what a rule looks at, and so does not only change it.
func (d *document) begins(id string) bool {
	return slices.ContainsFunc(d.rules, func(p *rulePatch) bool { return p.id == id && p.founds() })
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

// unchanged is the rule as it holds without places, where none touches it or the process
// that its limits follow; nil elsewhere.
func (l *library) unchanged(v *View, m *mergedRule) *Rule {
	if l.base == nil || m.placed || v.Process != l.base.Process || m.follows() {
		return nil
	}
	if i := slices.IndexFunc(l.base.all, func(r *Rule) bool { return r.ID == m.id }); i >= 0 {
		return l.base.all[i]
	}
	return nil
}
