package ruleset

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
)

// object is a piece of JSON Schema.
type object = map[string]any

// shape draws the schema of what a key may hold.
type shape = func(*schema) object

// schema is what the shapes of keys are drawn from.
type schema struct {
	catalog []catalog.Measure
	rules   []*Rule // of the standard set, to describe them
}

// SchemaDialect is the version of JSON Schema that Schema writes.
const SchemaDialect = "http://json-schema.org/draft-07/schema#"

// Schema is the JSON Schema (draft-07) of the configuration and of rule sets, drawn
// from the tables that the loader reads by. It cannot say all that the loader checks:
// expressions, units inside rules, and names that have to exist.
func Schema(cat []catalog.Measure) []byte { return schemaOf(Options{Catalog: cat}) }

func schemaOf(opt Options) []byte {
	s := &schema{catalog: opt.Catalog}
	if standard, err := Load("", opt); err == nil {
		s.rules = standard.Rules()
	}
	root := mapOf(&mainKeys)(s)
	root["$schema"] = SchemaDialect
	root["title"] = "printlint configuration"
	root["description"] = "rules for printable models, or a set of them for others to use"
	root["definitions"] = object{"rule": mapOf(&ruleKeys)(s)}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(root); err != nil {
		panic("ruleset: the schema cannot be written: " + err.Error())
	}
	return out.Bytes()
}

func aWord(*schema) object { return object{"type": "string", "pattern": `\S`} }

func aGlob(*schema) object {
	return object{"type": "string", "pattern": `\S`, "not": object{"pattern": `^(/|\.\.?/)`}}
}

func aRuleName(*schema) object { return object{"type": "string", "pattern": ruleID.String()} }

func aDay(*schema) object { return object{"type": "string", "pattern": `^\d{4}-\d{2}-\d{2}$`} }

func anExpression(*schema) object {
	return object{"type": []string{"string", "boolean"}, "pattern": `\S`, "maxLength": expression.MaxLength}
}

func theNumberOne(*schema) object { return object{"const": 1} }

func oneOf(words ...string) shape {
	return func(*schema) object { return object{"enum": words} }
}

func listOf(item shape) shape {
	return func(s *schema) object { return object{"type": "array", "items": item(s)} }
}

func someOf(item shape) shape {
	return func(s *schema) object { return object{"type": "array", "items": item(s), "minItems": 1} }
}

// mapOf is a mapping by a table of keys, some of which it cannot do without. The
// table comes by its address, since tables refer to each other.
func mapOf[T any](keys *[]key[T], need ...string) shape {
	return func(s *schema) object {
		properties := object{}
		for _, k := range *keys {
			p := k.shape(s)
			p["description"] = k.doc
			properties[k.name] = p
		}
		o := object{"type": "object", "properties": properties, "additionalProperties": false}
		if len(need) > 0 {
			o["required"] = need
		}
		return o
	}
}

func theMeasures(s *schema) object { return object{"enum": measureNames(s.catalog)} }

// rulesShape describes the rules of the standard set by name and lets others be.
func rulesShape(s *schema) object {
	properties := object{}
	for _, r := range s.rules {
		properties[r.ID] = object{
			"description": string(r.Level) + " of standard: " + r.Say,
			"allOf":       []object{{"$ref": "#/definitions/rule"}},
		}
	}
	return object{
		"type": "object", "properties": properties, "propertyNames": object{"pattern": ruleID.String()},
		"additionalProperties": object{"$ref": "#/definitions/rule"},
	}
}

func limitsShape(*schema) object {
	return object{
		"type": "object", "propertyNames": object{"pattern": limitName.String()},
		"additionalProperties": object{"type": []string{"string", "number"}, "pattern": `\S`, "maxLength": expression.MaxLength},
	}
}

// decimal is a number as catalog.NumberLength reads it.
const decimal = `[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?`

func aQuantity(u catalog.Unit) shape {
	var words []string
	for _, sp := range catalog.Spellings() {
		if sp.Unit == u {
			words = append(words, regexp.QuoteMeta(sp.Word))
		}
	}
	pattern := `^\s*` + decimal + `\s*(` + strings.Join(words, "|") + `)\s*$`
	return func(*schema) object { return object{"type": "string", "pattern": pattern} }
}

// aFigure is a quantity, or an expression over the figures of the process before it.
func aFigure(u catalog.Unit) shape {
	return func(s *schema) object {
		o := aQuantity(u)(s)
		o["pattern"] = o["pattern"].(string) + `|process\.`
		return o
	}
}

func threeOf(item shape) shape {
	return func(s *schema) object {
		return object{"type": "array", "items": item(s), "minItems": 3, "maxItems": 3}
	}
}

// twoCorners is a waiver's box: lengths, or bare numbers as reports print them.
func twoCorners(s *schema) object {
	side := aQuantity(catalog.MM)(s)
	side["type"] = []string{"string", "number"}
	corner := threeOf(func(*schema) object { return side })
	return object{"type": "array", "items": corner(s), "minItems": 2, "maxItems": 2}
}
