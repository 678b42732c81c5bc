package ruleset

import (
	"math"
	"regexp"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
)

// template is a rule's words with places to fill.
type template []piece

// piece is fixed text, or a value of the site, or a number that is known on load.
type piece struct {
	text   string
	value  int // position among the site's values, or -1
	unit   catalog.Unit
	of     string    // the text of the file that stands there; "" else
	limits []float64 // limits in the same unit, to tell the value apart from
}

// fill prints the template for a site.
func (t template) fill(values []float64) string {
	var b strings.Builder
	for _, p := range t {
		if p.value < 0 {
			b.WriteString(p.text)
			continue
		}
		b.WriteString(p.print(values[p.value]))
	}
	return b.String()
}

// general prints the template with values by their names, in braces.
func (t template) general(def *catalog.Measure) string {
	var b strings.Builder
	for _, p := range t {
		if p.value < 0 {
			b.WriteString(p.text)
			continue
		}
		b.WriteString("{" + def.Values[p.value].Name + "}")
	}
	return b.String()
}

// print rounds sensibly, but never so far that a value past a limit reads as the
// limit itself.
func (p piece) print(value float64) string {
	more := 0
	for _, limit := range p.limits {
		for more < catalog.MaxDecimals && math.Abs(value-limit) > catalog.Tolerance(p.unit) &&
			catalog.FormatFine(value, p.unit, more) == catalog.FormatFine(limit, p.unit, more) {
			more++
		}
	}
	return catalog.FormatFine(value, p.unit, more)
}

// braces are the places of a template, and what stands for braces in it.
var braces = regexp.MustCompile(`\{\{|\}\}|\{[^}]*\}|[{}]`)

// template reads words with {value}, {limits.name} and {process.name} in them; {{
// and }} stand for braces.
func (b *ruleBuilder) template(t *text) template {
	var out template
	b.knows(*t)
	s := strings.ReplaceAll(t.value, "\n", " ")
	fixed, last := "", 0
	for _, at := range braces.FindAllStringIndex(s, -1) {
		fixed += s[last:at[0]]
		last = at[1]
		switch found := t.value[at[0]:at[1]]; found {
		case "{{", "}}":
			fixed += found[:1]
		case "}":
			b.add(t.at(at[0]), "this } closes nothing; write }} for a brace")
		case "{":
			b.add(t.at(at[0]), "this { is not closed; write {{ for a brace")
			return nil
		default:
			name := found[1 : len(found)-1]
			if p, ok := b.piece(name, t, at[0]+1); ok {
				out = append(out, piece{text: fixed, value: -1}, p)
				fixed = ""
			}
		}
	}
	return append(out, piece{text: fixed + s[last:], value: -1})
}

// piece finds what a name in braces stands for, and complains where it is not known.
func (b *ruleBuilder) piece(name string, t *text, offset int) (piece, bool) {
	if name == "process.bed" {
		var sides [3]string
		for i, side := range b.process.Bed {
			sides[i] = strings.TrimSuffix(catalog.FormatLimit(side, catalog.MM), " mm")
		}
		return piece{text: strings.Join(sides[:], " x ") + " mm", value: -1}, true
	}
	if of, t := textOf(b.solver.catalog, name); of != nil && b.rule.Per == PerModel {
		b.ask(of.Name)
		b.learn(of, t.Name)
		return piece{text: "{" + name + "}", value: -1, of: t.Name}, true
	}
	m, ok := b.siteName(name)
	if strings.HasPrefix(name, "count(") && b.rule.Per == PerModel {
		if _, _, bad := expression.Compile(name, b.names()); bad != nil {
			b.add(t.at(offset+bad.Offset), "%s", bad.Text)
			return piece{}, false
		}
		i := b.rule.def.Index(expression.Spaced(name))
		m, ok = expression.Meaning{Value: i}, i >= 0
	}
	switch {
	case !ok:
		b.add(t.at(offset), "nothing here is called %q%s", name, b.unknown(name))
		return piece{}, false
	case m.Value < 0:
		return piece{text: catalog.FormatLimit(m.Number, m.Unit), value: -1}, true
	}
	p := piece{value: m.Value, unit: m.Unit}
	for _, l := range b.rule.Limits {
		if l.Unit == p.unit {
			p.limits = append(p.limits, l.Value)
		}
	}
	return p, true
}
