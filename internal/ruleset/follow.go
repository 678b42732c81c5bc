package ruleset

import (
	"math"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/near"
)

// maxFollows bounds what is told of a chain of limits.
const maxFollows = 8

// limitSolver works out the limits of the rules of a view, each once. A limit may follow
// that of another rule, which is worked out first, whatever file or place changes it last.
type limitSolver struct {
	*merger
	process catalog.Process
	given   map[string]setting // what the process was given as, by figure
	exact   bool               // the process is complete, so that limits can be computed
	done    map[string]*solvedLimit
	open    []*solvedLimit                // being worked out, each for the one before it
	units   map[string]expression.Meaning // of the limits whose unit was asked for
}

// solvedLimit is a limit with its value, or without one where it was complained about.
type solvedLimit struct {
	Limit
	name string // rules.ID.limits.NAME
	lost bool
}

func newLimitSolver(m *merger, process catalog.Process, given map[string]setting, exact bool) *limitSolver {
	return &limitSolver{merger: m, process: process, given: given, exact: exact, done: map[string]*solvedLimit{}, units: map[string]expression.Meaning{}}
}

// builder checks a rule with what the solver knows.
func (s *limitSolver) builder(m *mergedRule) *ruleBuilder {
	b := &ruleBuilder{complaints: s.complaints, process: s.process, given: s.given, exact: s.exact, solver: s, used: map[string]bool{}, lost: map[string]bool{}}
	b.rule = &Rule{ID: m.id, Per: m.per(), Level: levelOf(m)}
	if b.rule.Per != PerPlace {
		b.rule.def = new(catalog.Measure)
		return b
	}
	b.rule.Measure = m.fields[measureField].value
	b.rule.def = find(s.catalog, b.rule.Measure)
	b.rule.asks = []Ask{{Measure: b.rule.Measure}}
	return b
}

// limit is a limit of a rule, worked out.
func (s *limitSolver) limit(m *mergedRule, l *mergedLimit) *solvedLimit {
	name := followName(m.id, l.now.name)
	if got := s.done[name]; got != nil {
		return got
	}
	got := &solvedLimit{name: name}
	s.open = append(s.open, got)
	got.Limit, got.lost = s.builder(m).limit(l, got)
	s.open = s.open[:len(s.open)-1]
	s.done[name] = got
	return got
}

func followName(rule, limit string) string { return "rules." + rule + ".limits." + limit }

// splitName is the rule and the limit of such a name; ok is false where it is none.
func splitName(name string) (rule, limit string, ok bool) {
	return strings.Cut(strings.TrimPrefix(name, "rules."), ".limits.")
}

// named finds the rule and the limit that a name such as rules.min-wall.limits.area stands for.
func (s *limitSolver) named(name string) (*mergedRule, *mergedLimit) {
	id, limit, ok := splitName(name)
	if r := s.rules[id]; ok && r != nil {
		if i := slices.IndexFunc(r.limits, func(l *mergedLimit) bool { return l.now.name == limit }); i >= 0 {
			return r, r.limits[i]
		}
	}
	return nil, nil
}

// follow is what the limit of another rule means to the one that is being worked out.
func (s *limitSolver) follow(name string, at Position) (expression.Meaning, bool) {
	lost := expression.Meaning{Value: -1, Number: math.NaN(), Lost: true}
	r, l := s.named(name)
	if r == nil {
		return lost, s.excused(name)
	}
	if i := slices.IndexFunc(s.open, func(o *solvedLimit) bool { return o.name == name }); i >= 0 {
		circle := ""
		for _, o := range s.open[i:] {
			circle += o.name + " follows "
		}
		s.add(at, "limits follow each other in a circle: %s%s", circle, name)
		return lost, true
	}
	got := s.limit(r, l)
	if top := s.open[len(s.open)-1]; !got.lost {
		for _, o := range append([]Origin{{name, got.From}}, got.Follows...) {
			if len(top.Follows) < maxFollows && !slices.Contains(top.Follows, o) {
				top.Follows = append(top.Follows, o)
			}
		}
		top.Figures = appendNew(top.Figures, got.Figures)
	}
	return expression.Meaning{Value: -1, Number: got.Value, Unit: got.Unit, Lost: got.lost}, true
}

// excused says that a name need not be known: its rule was complained about already.
func (s *limitSolver) excused(name string) bool {
	id, _, _ := splitName(name)
	return s.quiet || s.broken[id]
}

// unit is the unit of another rule's limit: what the file says that gave it first, since
// later ones keep to it.
func (s *limitSolver) unit(name string) (expression.Meaning, bool) {
	m := expression.Meaning{Value: -1, Number: math.NaN(), Lost: true}
	r, l := s.named(name)
	if r == nil {
		return m, s.excused(name)
	}
	if known, asked := s.units[name]; asked {
		return known, true
	}
	s.units[name] = m // in a circle nobody knows
	want, _, ok := s.builder(r).wanted(l)
	if based, fine := expression.UnitOf(want); ok && fine {
		m.Unit, m.Lost = based.Unit, false
	}
	s.units[name] = m
	return m, true
}

// hint ends a complaint about a name of another rule's limit that is not known.
func (s *limitSolver) hint(name string) string {
	if !strings.HasPrefix(name, "rules") {
		return ""
	}
	id, limit, ok := splitName(name)
	r := s.rules[id]
	switch {
	case !ok:
		return "; the limit of another rule is written rules.NAME.limits.NAME, as in rules.min-wall.limits.thickness"
	case r == nil:
		return "; no rule is called " + id + near.HintOf(id, s.ids(), nil)
	}
	var known []string
	for _, l := range r.limits {
		known = append(known, l.now.name)
	}
	return "; rule " + id + " has no limit " + limit + near.Hint(limit, known)
}
