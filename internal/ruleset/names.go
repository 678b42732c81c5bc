package ruleset

import (
	"strings"

	"printlint/internal/catalog"
)

// meaning is what a name in an expression or in words stands for: a value of the site, or
// a number that is known on load.
type meaning struct {
	value  int // position among the site's values, or -1
	number float64
	unit   catalog.Unit
	lost   bool // it was complained about
}

// program reads the value, or is the number, in the bases.
func (m meaning) program() (program, dim) {
	unit := base(m.unit)
	i, factor := m.value, unit.factor
	switch {
	case m.lost:
		return constant(m.number), spoilt
	case i < 0:
		return constant(m.number * factor), unit.dim
	case factor != 1:
		return func(v []float64) float64 { return float64(v[i] * factor) }, unit.dim
	}
	return func(v []float64) float64 { return v[i] }, unit.dim
}

// processNames lists process.NAME for every figure.
func processNames() []string {
	out := make([]string, len(figures))
	for i, f := range figures {
		out[i] = "process." + f.name
	}
	return out
}

// processName finds process.NAME. The process does not change after loading, so it
// is a constant to the program.
func (b *ruleBuilder) processName(name string) (meaning, bool) {
	for _, f := range figures {
		if name == "process."+f.name {
			return meaning{value: -1, number: *f.at(&b.process), unit: f.unit}, true
		}
	}
	return meaning{}, false
}

// names is what a condition may speak of: the measure's values, the rule's limits
// and the process.
func (b *ruleBuilder) names() names {
	var own []string
	for _, v := range b.rule.def.Values {
		own = append(own, v.Name)
	}
	for _, l := range b.rule.Limits {
		own = append(own, "limits."+l.Name)
	}
	return names{b.siteName, append(processNames(), own...), own}
}

// siteName finds what a name means at a site. A limit that is found has its use.
func (b *ruleBuilder) siteName(name string) (meaning, bool) {
	if i := b.rule.def.Index(name); i >= 0 {
		return meaning{value: i, unit: b.rule.def.Values[i].Unit}, true
	}
	if short, ok := strings.CutPrefix(name, "limits."); ok {
		if l := b.rule.limit(short); l != nil {
			b.used[short] = true
			return meaning{value: -1, number: l.Value, unit: l.Unit, lost: b.lost[short]}, true
		}
	}
	return b.processName(name)
}
