package ruleset

import (
	"math"
	"strings"

	"printlint/internal/catalog"
)

// template is a rule's words with places to fill.
type template []piece

// piece is fixed text, or a value of the site, or a number that is known on load.
type piece struct {
	text   string
	value  int // position among the site's values, or -1
	unit   catalog.Unit
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

// template reads words with {value}, {limits.name} and {process.name} in them; {{
// and }} stand for braces.
func (b *ruleBuilder) template(t *text) template {
	var out template
	var fixed strings.Builder
	flush := func() {
		if fixed.Len() > 0 {
			out = append(out, piece{text: fixed.String(), value: -1})
			fixed.Reset()
		}
	}
	s := t.value
	for i := 0; i < len(s); i++ {
		switch {
		case strings.HasPrefix(s[i:], "{{") || strings.HasPrefix(s[i:], "}}"):
			fixed.WriteByte(s[i])
			i++
		case s[i] == '}':
			b.add(t.at(i), "this } closes nothing; write }} for a brace")
		case s[i] == '{':
			end := strings.IndexByte(s[i:], '}')
			if end < 0 {
				b.add(t.at(i), "this { is not closed; write {{ for a brace")
				return nil
			}
			if p, ok := b.piece(s[i+1 : i+end]); ok {
				flush()
				out = append(out, p)
			} else {
				b.add(t.at(i+1), "nothing here is called %q%s", s[i+1:i+end], hintOf(s[i+1:i+end], b.names().known, b.names().listed))
			}
			i += end
		case s[i] == '\n':
			fixed.WriteByte(' ')
		default:
			fixed.WriteByte(s[i])
		}
	}
	flush()
	return out
}

// piece finds what a name in braces stands for.
func (b *ruleBuilder) piece(name string) (piece, bool) {
	if name == "process.bed" {
		var sides [3]string
		for i, side := range b.process.Bed {
			sides[i] = strings.TrimSuffix(catalog.FormatLimit(side, catalog.MM), " mm")
		}
		return piece{text: strings.Join(sides[:], " x ") + " mm", value: -1}, true
	}
	m, ok := b.siteName(name)
	switch {
	case !ok:
		return piece{}, false
	case m.value < 0:
		return piece{text: catalog.FormatLimit(m.number, m.unit), value: -1}, true
	}
	p := piece{value: m.value, unit: m.unit}
	for _, l := range b.rule.Limits {
		if l.Unit == p.unit {
			p.limits = append(p.limits, l.Value)
		}
	}
	return p, true
}
