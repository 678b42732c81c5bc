package ruleset

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
	"printlint/internal/near"
)

// field is one of a rule's own fields, limits aside.
type field int

// The fields, in the order in which their origins are told.
const (
	perField field = iota
	measureField
	findField
	levelField
	sayField
	doField
	becauseField
	sourceField
	fieldCount
)

var fieldNames = [fieldCount]string{"per", "measure", "find", "level", "say", "do", "because", "source"}

// neededFields are what a rule cannot do without.
const neededFields = "measure, find, level, say, because"

// rulePatch is what one file says about one rule: all of it, or the fields it changes.
type rulePatch struct {
	id     string
	pos    Position
	broken bool // it holds a mistake that was complained about
	fields [fieldCount]*text
	limits []limitText
	yields *yieldList // nil where it says nothing about them
	said   []string   // its keys, those that cannot be read too
	strays []stray
}

// stray is a key of a rule that is not known, and may be a limit: the rule tells.
type stray struct {
	limitText
	hint string // the known keys
}

// takeStray keeps a key that no known one is near, until it is known which limits the
// rule has.
func (p *rulePatch) takeStray(d *decoder, name, value *yaml.Node) bool {
	names := namesOf(ruleKeys)
	if value.Kind != yaml.ScalarNode || value.Tag == "!!null" || near.Nearest(name.Value, names) != "" {
		return false
	}
	p.strays = append(p.strays, stray{limitText{name.Value, d.pos(name), text{value.Value, d.source, value}}, near.Hint(name.Value, names)})
	return true
}

// takeLimits takes those of such keys as limits that the condition speaks of.
func (p *rulePatch) takeLimits() {
	for _, s := range p.strays {
		if f := p.fields[findField]; f != nil && strings.Contains(f.value, "limits."+s.name) {
			p.limits = append(p.limits, s.limitText)
		}
	}
}

// complain says what is wrong with such a key, of a rule that has these limits.
func (s *stray) complain(c *complaints, id string, limits []limitText) {
	as := fmt.Sprintf("under limits, as in limits: {%s: %s}", s.name, s.text.value)
	_, unit, err := catalog.ParseQuantity(s.text.value)
	switch {
	case slices.ContainsFunc(limits, func(l limitText) bool { return l.name == s.name }):
		c.add(s.pos, "%s is a limit; put it %s", s.name, as)
	case err == nil && unit != catalog.Number && limitName.MatchString(s.name):
		c.add(s.pos, "unknown key %q in rule %s; a limit stands %s", s.name, id, as)
	default:
		c.add(s.pos, "unknown key %q in rule %s%s", s.name, id, cmp.Or(otherKeys[s.name], s.hint))
	}
}

// yieldList are the rules that a rule yields to.
type yieldList struct {
	pos   Position
	rules []text
}

type limitText struct {
	name string
	pos  Position
	text text
}

// ruleKeys is the table of one rule.
var ruleKeys = []key[*rulePatch]{
	{"per", "what it looks at, once each: place, where nothing is said; model, over values such as size.z; or folder, over values such as folder.copies", oneOf(perWords...), func(d *decoder, n *yaml.Node, p *rulePatch) {
		if w, ok := d.one(n, "per", perWords); ok {
			p.fields[perField] = &text{w, d.source, n}
		}
	}},
	{"measure", "the measure it judges", theMeasures, func(d *decoder, n *yaml.Node, p *rulePatch) {
		t, ok := d.words(n, "measure")
		if !ok {
			return
		}
		if find(d.catalog, t.value) == nil {
			d.add(t.pos(), "no measure is called %q%s", t.value, near.Hint(t.value, measureNames(d.catalog)))
			return
		}
		if m := find(d.catalog, t.value); len(m.Values) == 0 {
			d.add(t.pos(), "measure %s finds no places; write per: model in place of it, and %s in find", t.value, exampleOf(m))
			return
		}
		p.fields[measureField] = &t
	}},
	{"limits", "named limits: a quantity, or an expression over process", limitsShape, readLimits},
	{"find", "what makes a place, a model or a folder a finding: a condition over values and limits; printlint rules --values lists them", aCondition, func(d *decoder, n *yaml.Node, p *rulePatch) {
		if t, ok := d.formula(n, "find"); ok {
			p.fields[findField] = &t
		}
	}},
	{"level", "error, warning or note; none switches it off", oneOf(levelWords...), func(d *decoder, n *yaml.Node, p *rulePatch) {
		if w, ok := d.one(n, "level", levelWords); ok {
			p.fields[levelField] = &text{w, d.source, n}
		}
	}},
	{yieldsKey, "rules that speak instead where they find the same place, at this level or a higher one", listOf(aRuleName), readYields},
	{"say", "what is wrong, in words, with {value} and {limits.name} filled in", aWord, readWords(sayField)},
	{"do", "what to do about it, filled in likewise", aWord, readWords(doField)},
	{"because", "why it matters", aWord, readWords(becauseField)},
	{"source", "where the limits come from", aWord, readWords(sourceField)},
}

func readWords(f field) func(*decoder, *yaml.Node, *rulePatch) {
	return func(d *decoder, n *yaml.Node, p *rulePatch) {
		if t, ok := d.words(n, fieldNames[f]); ok {
			t.value = strings.TrimSpace(t.value)
			p.fields[f] = &t
		}
	}
}

func readLimits(d *decoder, n *yaml.Node, p *rulePatch) {
	d.entries(n, "limits", func(name, value *yaml.Node) {
		if !limitName.MatchString(name.Value) {
			d.add(d.pos(name), "%q cannot name a limit: small letters, digits and _ only, a letter first", name.Value)
			return
		}
		t, ok := d.formula(value, "limit "+name.Value)
		if cure := asLimit(t.value); ok && cure != "" {
			d.add(t.at(0), "%s", cure)
			return
		}
		if ok {
			p.limits = append(p.limits, limitText{name.Value, d.pos(name), t})
		}
	})
}

func readYields(d *decoder, n *yaml.Node, p *rulePatch) {
	p.yields = &yieldList{d.pos(n), d.texts(n, yieldsKey, wordOf("a rule"))}
}

var (
	ruleID    = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	limitName = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)
)

// maxRules bounds the rules of one file.
const maxRules = 500

// rules reads a mapping of rules.
func (d *decoder) rules(n *yaml.Node) []*rulePatch {
	var out []*rulePatch
	if len(n.Content) > 2*maxRules {
		d.add(d.pos(n), "here are %d rules, more than the %d that are read", len(n.Content)/2, maxRules)
		return nil
	}
	d.entries(n, "rules", func(name, value *yaml.Node) {
		if !ruleID.MatchString(name.Value) {
			cure := ""
			if id := strings.NewReplacer("_", "-", " ", "-").Replace(strings.ToLower(name.Value)); ruleID.MatchString(id) {
				cure = "; write " + id
			}
			d.add(d.pos(name), "%q cannot name a rule: small letters and digits, words joined by -%s", name.Value, cure)
			return
		}
		p := &rulePatch{id: name.Value, pos: d.pos(name)}
		if has(ruleKeys, name.Value) {
			d.add(d.pos(name), "%s is no rule, but part of one; give the line more spaces, so that it belongs to the rule above", name.Value)
			return
		}
		before := len(d.list)
		mapping(d, value, "rule "+name.Value, ruleKeys, p)
		p.checkPer(d)
		p.broken = len(d.list) > before || len(p.strays) > 0
		p.takeLimits()
		for i := 0; i+1 < len(value.Content); i += 2 {
			p.said = append(p.said, value.Content[i].Value)
		}
		out = append(out, p)
	})
	return out
}

func find(list []catalog.Measure, name string) *catalog.Measure {
	if i := slices.IndexFunc(list, func(m catalog.Measure) bool { return m.Name == name }); i >= 0 {
		return &list[i]
	}
	return nil
}

func measureNames(list []catalog.Measure) []string {
	names := make([]string, len(list))
	for i := range list {
		names[i] = list[i].Name
	}
	return names
}
