package ruleset

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/finding"
	"printlint/internal/near"
)

// Per says what a rule looks at, once each.
type Per string

// A rule looks at each place that one measure finds, at the model as a whole, or at each
// folder that holds models.
const (
	PerPlace  Per = "place"
	PerModel  Per = "model"
	PerFolder Per = "folder"
)

var perWords = []string{string(PerPlace), string(PerModel), string(PerFolder)}

// Ask is a measure that a rule needs, with its parameters in the measure's own order: each
// the rule's limit of that name, or the parameter's default. Do not change them.
type Ask struct {
	Measure string
	Params  []float64
}

// seen is where a value of a rule over the whole model comes from.
type seen struct {
	ask    int                // which of its measures
	value  int                // which value of the whole model, or -1 for a count of places or a text
	counts expression.Program // what a place must meet to be counted; nil else
	text   string             // of what text test asks; "" else
	words  string             // that the rule asks it in
	test   func(string) bool
}

// Asks are the measures that the rule needs, each once.
func (r *Rule) Asks() []Ask { return r.asks }

// Judges names the measures of the rule, with commas between them.
func (r *Rule) Judges() string {
	if r.Per != PerModel && r.Per != PerFolder {
		return r.Measure
	}
	names := make([]string, len(r.asks))
	for i, a := range r.asks {
		names[i] = a.Measure
	}
	return strings.Join(names, ", ")
}

// Over says what the rule judges, for people.
func (r *Rule) Over() string {
	switch r.Per {
	case PerModel:
		return "the whole model: " + r.Judges()
	case PerFolder:
		return "each folder that holds models"
	}
	return r.Measure
}

// Sees are the values that the rule speaks of: those of a place, or those of the whole
// model in the order in which the rule names them.
func (r *Rule) Sees() []catalog.Value { return r.def.Values }

// Gather makes the values of a rule over the whole model, which lies in a file. Of each of its measures, whole are
// the values of the whole model and places those of each place. The places that it counted
// are told to counted, by measure and place.
func (r *Rule) Gather(file *catalog.File, whole [][]float64, places func(ask int) [][]float64, counted func(ask, place int)) ([]float64, error) {
	values := make([]float64, len(r.seen))
	for i, s := range r.seen {
		if s.test != nil {
			values[i] = s.answers(file)
			continue
		}
		if s.counts == nil {
			values[i] = whole[s.ask][s.value]
			continue
		}
		for k, place := range places(s.ask) {
			truth := s.counts(place)
			if math.IsNaN(truth) {
				return nil, fmt.Errorf("rule %s: %s has no answer for a place of %s", r.ID, r.def.Values[i].Name, r.asks[s.ask].Measure)
			}
			if truth != 0 {
				values[i]++
				counted(s.ask, k)
			}
		}
	}
	return values, nil
}

// WholeModel lists every value of the whole model that a rule can see, as MEASURE.VALUE.
func WholeModel(list []catalog.Measure) (all []catalog.Value) {
	for i := range list {
		for _, v := range list[i].Model {
			v.Name = list[i].Name + "." + v.Name
			all = append(all, v)
		}
	}
	return all
}

// wholeValue finds MEASURE.VALUE; nil where there is none.
func wholeValue(list []catalog.Measure, name string) (*catalog.Measure, int) {
	of, value, _ := strings.Cut(name, ".")
	if m := find(list, of); m != nil {
		if k := slices.IndexFunc(m.Model, func(v catalog.Value) bool { return v.Name == value }); k >= 0 {
			return m, k
		}
	}
	return nil, -1
}

// see takes up a value of the whole model among those that the rule speaks of.
func (b *ruleBuilder) see(m *catalog.Measure, k int) expression.Meaning {
	v := m.Model[k]
	b.learn(m, v.Name)
	v.Name = m.Name + "." + v.Name
	b.checkNeed(&v)
	return b.take(v, seen{ask: b.ask(m.Name), value: k})
}

// checkNeed complains about a value that says nothing with this process.
func (b *ruleBuilder) checkNeed(v *catalog.Value) {
	for _, f := range figures {
		if f.name == v.Needs && b.exact && b.rule.Level != finding.None && *f.at(&b.process) == 0 {
			b.add(b.findAt, "%s needs the %s; write it as in process: {%s: %s}", v.Name, f.doc, f.name, catalog.FormatLimit(25, f.unit))
		}
	}
}

// ask is the place of a measure among those that the rule needs.
func (b *ruleBuilder) ask(measure string) int {
	r := b.rule
	i := slices.IndexFunc(r.asks, func(a Ask) bool { return a.Measure == measure })
	if i < 0 {
		i, r.asks = len(r.asks), append(r.asks, Ask{Measure: measure})
	}
	return i
}

// take takes a value up under its name, once.
func (b *ruleBuilder) take(v catalog.Value, from seen) expression.Meaning {
	r := b.rule
	i := r.def.Index(v.Name)
	if i < 0 {
		i, r.def.Values, r.seen = len(r.def.Values), append(r.def.Values, v), append(r.seen, from)
	}
	return expression.Meaning{Value: i, Unit: v.Unit}
}

// count is what the count of a measure's places may speak of.
func (b *ruleBuilder) count(measure string) *expression.Counted {
	m := find(b.solver.catalog, measure)
	if m == nil {
		return &expression.Counted{Unknown: near.Hint(measure, measureNames(b.solver.catalog))}
	}
	own := b.limitNames()
	for _, v := range m.Values {
		own = append(own, v.Name)
	}
	site := func(name string) (expression.Meaning, bool) {
		if i := m.Index(name); i >= 0 {
			return expression.Meaning{Value: i, Unit: m.Values[i].Unit}, true
		}
		return b.fixedName(name)
	}
	return &expression.Counted{
		Site: expression.Names{Find: site, Known: append(processNames(), own...), Listed: own, Sure: true},
		Add: func(words string, condition expression.Program) expression.Meaning {
			doc := "places of " + m.Name
			if _, where, some := strings.Cut(strings.TrimSuffix(words, ")"), ","); some {
				doc += " where" + where
			}
			b.learn(m, "")
			return b.take(catalog.Value{Name: words, Doc: doc}, seen{ask: b.ask(m.Name), value: -1, counts: condition})
		},
	}
}

// wholeHint ends a complaint about a name in a rule over the whole model, or is "".
func (b *ruleBuilder) wholeHint(name string) string {
	of, value, dotted := strings.Cut(name, ".")
	if m := find(b.sees(), of); m != nil && dotted {
		var known []string
		for _, v := range m.Model {
			known = append(known, v.Name)
		}
		for _, t := range m.Texts {
			known = append(known, t.Name)
		}
		best := near.Nearest(value, known)
		if m.Index(value) >= 0 && best == "" {
			return fmt.Sprintf("; %s is a value of each place of %s, as in count(%s, ...)", value, of, of)
		}
		for i := range known {
			known[i] = of + "." + known[i]
		}
		return near.Hint(of+"."+cmp.Or(best, value), known)
	}
	for _, full := range b.wholeNames() {
		if _, short, _ := strings.Cut(full, "."); short == name {
			return fmt.Sprintf("; a rule with per: %s names the measure before the value, as in %s", b.rule.Per, full)
		}
	}
	if m, _ := wholeValue(b.solver.catalog, name); m != nil && b.rule.Per == PerFolder {
		return "; values of a model are for rules with per: model"
	}
	if of == catalog.FolderMeasure.Name && b.rule.Per == PerModel {
		return "; values of a folder are for rules with per: folder"
	}
	return onlyLimitsFollow(name)
}

// params sets what steers the measures of the rule.
func (b *ruleBuilder) params() {
	for i := range b.rule.asks {
		a := &b.rule.asks[i]
		m := find(b.sees(), a.Measure)
		a.Params = make([]float64, len(m.Params))
		for k, p := range m.Params {
			a.Params[k] = p.Default
			l := b.rule.limit(p.Name)
			if l == nil {
				continue
			}
			if l.Unit != p.Unit && !b.lost[p.Name] {
				b.add(l.From, "limit %s of rule %s steers measure %s and must be %s, this is %s; give it another name, or the unit",
					l.Name, b.rule.ID, m.Name, expression.Base(p.Unit).Dim, expression.Base(l.Unit).Dim)
			}
			a.Params[k], b.used[p.Name] = l.Value, true
		}
	}
}

// per is what the rule of the patch looks at, where it says so or says nothing.
func (p *rulePatch) per() Per {
	if t := p.fields[perField]; t != nil {
		return Per(t.value)
	}
	return PerPlace
}

// founds says that the patch tells what a rule looks at, and does not only change one.
func (p *rulePatch) founds() bool { return p.fields[measureField] != nil || p.per() != PerPlace }

// needs says whether a new rule cannot do without a field.
func (p *rulePatch) needs(f field) bool {
	if f == measureField && p.per() != PerPlace {
		return false
	}
	return strings.Contains(neededFields, fieldNames[f])
}

// checkPer complains about a measure beside per: model or per: folder.
func (p *rulePatch) checkPer(d *decoder) {
	t := p.fields[measureField]
	if t == nil {
		return
	}
	switch p.per() {
	case PerModel:
		d.add(t.pos(), "a rule with per: model names its measures in find, as in %s; leave measure out", exampleOf(find(d.catalog, t.value)))
	case PerFolder:
		d.add(t.pos(), "a rule with per: folder measures no model and has no measure; leave it out")
	}
}

// exampleOf is a name of a measure's values in a rule over the whole model.
func exampleOf(m *catalog.Measure) string {
	if len(m.Model) == 0 {
		return "count(" + m.Name + ")"
	}
	return m.Name + "." + m.Model[0].Name
}

// meansModel ends a complaint about a new rule without a measure that speaks of the whole
// model, or is "".
func (p *rulePatch) meansModel(list []catalog.Measure) string {
	f := p.fields[findField]
	if p.founds() || f == nil {
		return ""
	}
	whole := strings.Contains(f.value, "count(")
	for name := range named(f.value) {
		if strings.HasPrefix(name, catalog.FolderMeasure.Name+".") {
			return "; over folders it is written per: folder, without measure"
		}
		m, _ := wholeValue(list, name)
		f, _ := textOf(list, name)
		whole = whole || m != nil || f != nil || name == "beside"
	}
	if !whole {
		return ""
	}
	return "; over the whole model it is written per: model, without measure"
}

// sameKind complains where a patch makes another rule of one.
func (m *merger) sameKind(p *rulePatch, r *mergedRule) bool {
	measure, per := p.fields[measureField], p.fields[perField]
	switch {
	case measure != nil && r.per() == PerModel:
		m.add(measure.pos(), "rule %s judges the whole model; give a rule over %s a name of its own", p.id, measure.value)
	case measure != nil && r.per() == PerFolder:
		m.add(measure.pos(), "rule %s judges folders; give a rule over %s a name of its own", p.id, measure.value)
	case measure != nil && measure.value != r.fields[measureField].value:
		m.add(measure.pos(), "rule %s judges %s; give a rule over %s a name of its own", p.id, r.fields[measureField].value, measure.value)
	case per != nil && p.per() != r.per():
		m.add(per.pos(), "rule %s is per: %s; give a rule with per: %s a name of its own", p.id, r.per(), p.per())
	default:
		return true
	}
	return false
}
