package ruleset

import (
	"cmp"
	"math"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/near"
)

// processNames lists process.NAME for every figure.
func processNames() []string {
	out := make([]string, len(figures))
	for i, f := range figures {
		out[i] = "process." + f.name
	}
	return out
}

// listedNames are those worth listing to whoever writes a name that is none.
func listedNames() []string { return processNames()[:len(machineFigures)] }

// Figures are the figures of the process as a rule names them.
func Figures() []catalog.Value {
	list := make([]catalog.Value, len(figures))
	for i, f := range figures {
		list[i] = catalog.Value{Name: "process." + f.name, Unit: f.unit, Doc: f.doc}
	}
	return list
}

// processName finds process.NAME. The process does not change after loading, so it
// is a constant to the program.
func (b *ruleBuilder) processName(name string) (expression.Meaning, bool) {
	for _, f := range figures {
		if name == "process."+f.name {
			number := *f.at(&b.process)
			if !b.exact {
				number = math.NaN() // it was complained about that figures are missing
			}
			return expression.Meaning{Value: -1, Number: number, Unit: f.unit}, true
		}
	}
	return expression.Meaning{}, false
}

// names is what a condition may speak of: the measure's values, the rule's limits
// and the process.
func (b *ruleBuilder) names() expression.Names {
	own := b.limitNames()
	if b.rule.Per == PerModel {
		own = append(own, b.wholeNames()...)
		return expression.Names{Find: b.siteName, Known: append(processNames(), own...), Hint: b.wholeHint, Count: b.count, Text: b.text, Glob: besideGlob, Sure: true}
	}
	for _, v := range b.rule.def.Values {
		own = append(own, v.Name)
	}
	return expression.Names{Find: b.siteName, Known: append(processNames(), own...), Listed: own, Hint: b.placeHint}
}

// wholeNames lists the values and texts of the whole model.
func (b *ruleBuilder) wholeNames() (names []string) {
	for _, v := range WholeModel(b.solver.catalog) {
		names = append(names, v.Name)
	}
	return append(names, textNames(b.solver.catalog)...)
}

// limitNames are the names of the rule's limits.
func (b *ruleBuilder) limitNames() (own []string) {
	for _, l := range b.rule.Limits {
		own = append(own, "limits."+l.Name)
	}
	return own
}

// placeHint says where a name can be used that a rule over places does not know.
func (b *ruleBuilder) placeHint(name string) string {
	m, _ := wholeValue(b.solver.catalog, name)
	if f, _ := textOf(b.solver.catalog, name); m != nil || f != nil {
		return "; values of the whole model are for rules with per: model"
	}
	return onlyLimitsFollow(name)
}

// onlyLimitsFollow says where the limit of another rule can be named.
func onlyLimitsFollow(name string) string {
	if !expression.Follows(name) {
		return ""
	}
	return "; give this rule a limit that follows it, as in limits: {least: " + name + "}"
}

// unknown ends a complaint about a name.
func (b *ruleBuilder) unknown(name string) string {
	n := b.names()
	return cmp.Or(n.Hint(name), near.HintOf(name, n.Known, n.Listed))
}

// siteName finds what a name means at a site, or of the whole model. A limit that is found
// has its use.
func (b *ruleBuilder) siteName(name string) (expression.Meaning, bool) {
	if b.rule.Per == PerModel {
		if m, k := wholeValue(b.solver.catalog, name); m != nil {
			return b.see(m, k), true
		}
	} else if i := b.rule.def.Index(name); i >= 0 {
		return expression.Meaning{Value: i, Unit: b.rule.def.Values[i].Unit}, true
	}
	return b.fixedName(name)
}

// fixedName finds a limit or a figure of the process.
func (b *ruleBuilder) fixedName(name string) (expression.Meaning, bool) {
	if short, ok := strings.CutPrefix(name, "limits."); ok {
		if l := b.rule.limit(short); l != nil {
			b.used[short] = true
			return expression.Meaning{Value: -1, Number: l.Value, Unit: l.Unit, Lost: b.lost[short]}, true
		}
	}
	return b.processName(name)
}
