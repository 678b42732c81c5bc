package ruleset

import "strings"

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
func (b *ruleBuilder) processName(name string) (program, dim, bool) {
	short, ok := strings.CutPrefix(name, "process.")
	if !ok {
		return nil, plain, false
	}
	for _, f := range figures {
		if f.name == short {
			unit := base(f.unit)
			return constant(*f.at(&b.process) * unit.factor), unit.dim, true
		}
	}
	return nil, plain, false
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

func (b *ruleBuilder) siteName(name string) (program, dim, bool) {
	if i := b.rule.def.Index(name); i >= 0 {
		unit := base(b.rule.def.Values[i].Unit)
		if factor := unit.factor; factor != 1 {
			return func(v []float64) float64 { return float64(v[i] * factor) }, unit.dim, true
		}
		return func(v []float64) float64 { return v[i] }, unit.dim, true
	}
	if short, ok := strings.CutPrefix(name, "limits."); ok {
		if l := b.rule.limit(short); l != nil {
			b.used[short] = true
			if b.lost[short] {
				return constant(l.Value), spoilt, true
			}
			unit := base(l.Unit)
			return constant(l.Value * unit.factor), unit.dim, true
		}
		return nil, plain, false
	}
	return b.processName(name)
}
