package ruleset

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
)

// limitsOf is what the limits of a rule may be: those it has, each in its unit. Another one
// has a use only where the condition or the words change too.
func limitsOf(r *Rule) object {
	units := map[string]catalog.Unit{}
	limits := object{}
	for _, l := range r.Limits {
		units[l.Name] = l.Unit
	}
	for _, p := range r.def.Params {
		units[p.Name] = p.Unit
	}
	for name, unit := range units {
		limits[name] = aLimit(unit)
	}
	only := object{"maxProperties": 0}
	if len(units) > 0 {
		only = object{"propertyNames": object{"enum": slices.Sorted(maps.Keys(units))}}
	}
	var changes []object
	for _, f := range []field{findField, sayField, doField, becauseField} {
		changes = append(changes, object{"required": []string{fieldNames[f]}})
	}
	return object{
		"properties": object{"limits": object{"properties": limits}},
		"if":         object{"not": object{"anyOf": changes}},
		"then":       object{"properties": object{"limits": only}},
	}
}

// computes tells an expression from a quantity.
const computes = `[()*/]|process\.|rules\.|[^eE\s][\s]*[+-]`

// aLimit is a limit in a unit: a quantity, or an expression.
func aLimit(u catalog.Unit) object {
	if u == catalog.Number {
		return object{"type": []string{"number", "string"}, "pattern": `^\s*` + decimal + `\s*$|` + computes}
	}
	return object{"type": "string", "pattern": quantityPattern(u) + "|" + computes}
}

func limitsShape(*schema) object {
	return object{
		"type": "object", "propertyNames": object{"pattern": limitName.String()},
		"additionalProperties": object{
			"type": []string{"string", "number"}, "pattern": `\S`, "maxLength": expression.MaxLength,
			"not": object{"type": "string", "pattern": `^\s*[+-]?[0-9]+,[0-9]`},
		},
	}
}

// decimal is a number as catalog.NumberLength reads it.
const decimal = `[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?`

// quantityPattern is a number in a unit, in any of its spellings.
func quantityPattern(u catalog.Unit) string {
	var words []string
	for _, sp := range catalog.Spellings() {
		if sp.Unit == u {
			words = append(words, regexp.QuoteMeta(sp.Word))
		}
	}
	return `^\s*` + decimal + `\s*(` + strings.Join(words, "|") + `)\s*$`
}

func aQuantity(u catalog.Unit) shape {
	pattern := quantityPattern(u)
	return func(*schema) object { return object{"type": "string", "pattern": pattern} }
}

// aFigure is a quantity, or an expression over the figures of the process before it.
func aFigure(u catalog.Unit) shape {
	return func(s *schema) object {
		if u == catalog.Number {
			return aLimit(u)
		}
		o := aQuantity(u)(s)
		o["pattern"] = o["pattern"].(string) + `|process\.`
		return o
	}
}
