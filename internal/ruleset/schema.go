package ruleset

import (
	"bytes"
	"encoding/json"
	"path"
	"slices"
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
	rules   []*Rule // of the standard set, and those that other built-in sets add, to describe them
	sets    []string
	plastic []string // those that are built in
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
		s.rules, s.plastic, s.sets = standard.Rules(), standard.library.materials(), setNames(standard.library.sets)
		s.addRules(opt)
	}
	root := mapOf(&mainKeys)(s)
	root["$schema"] = SchemaDialect
	root["title"] = "printlint configuration"
	root["description"] = "rules for printable models, or a set of them for others to use"
	root["definitions"] = object{
		"rules":    rulesByName(s),
		"rule":     mapOf(&ruleKeys)(s),
		"new-rule": newRule,
	}
	// Rules that no built-in set brings are new and whole, unless a file that is used brings them.
	root["if"] = object{"properties": object{"use": object{"contains": object{"pattern": fileName}}}, "required": []string{"use"}}
	root["else"] = object{"properties": object{"rules": object{
		"patternProperties": object{"^(" + strings.Join(s.ruleIDs(), "|") + ")$": object{}}, "additionalProperties": object{"$ref": "#/definitions/new-rule"},
	}}}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(root); err != nil {
		panic("ruleset: the schema cannot be written: " + err.Error())
	}
	return out.Bytes()
}

// addRules takes up the rules that built-in sets add to those of standard.
func (s *schema) addRules(opt Options) {
	for _, name := range s.sets {
		opt.Open = func(string) ([]byte, error) { return []byte("use: [standard, " + name + "]"), nil }
		c, err := Load("set.yml", opt)
		if err != nil {
			panic("ruleset: the built-in set " + name + " cannot be read: " + err.Error())
		}
		for _, r := range c.Rules() {
			if !slices.Contains(s.ruleIDs(), r.ID) {
				s.rules = append(s.rules, r)
			}
		}
	}
}

// newRule is a rule that is whole: it judges a measure, the whole model, or folders.
var newRule = object{
	"allOf": []object{{"$ref": "#/definitions/rule"}}, "required": strings.Split(neededFields, ", ")[1:],
	"if":   object{"properties": object{"per": object{"enum": []Per{PerModel, PerFolder}}}, "required": []string{"per"}},
	"then": object{"not": object{"required": []string{"measure"}}},
	"else": object{"required": []string{"measure"}},
}

func aWord(*schema) object { return object{"type": "string", "pattern": `\S`} }

func aGlob(*schema) object {
	return object{"type": "string", "pattern": `\S`, "not": object{"pattern": `^(/|\.\.?/)`}}
}

func aRuleName(*schema) object { return object{"type": "string", "pattern": ruleID.String()} }

func aDay(*schema) object { return object{"type": "string", "pattern": `^\d{4}-\d{2}-\d{2}$`} }

// fileName tells a file from the name of a built-in set.
const fileName = `[./\\]`

func aSet(s *schema) object {
	return object{"type": "string", "anyOf": []object{{"enum": s.sets}, {"pattern": fileName}}}
}

// aPlastic is a built-in one or a name of one's own, but not a built-in one in capitals.
func aPlastic(s *schema) object {
	var any strings.Builder
	for i, name := range s.plastic {
		if i > 0 {
			any.WriteByte('|')
		}
		for _, r := range name {
			any.WriteString("[" + strings.ToUpper(string(r)) + string(r) + "]")
		}
	}
	return object{"type": "string", "pattern": `\S`, "anyOf": []object{{"enum": s.plastic}, {"not": object{"pattern": "^(" + any.String() + ")$"}}}}
}

// ruleIDs lists the rules of the built-in sets.
func (s *schema) ruleIDs() (ids []string) {
	for _, r := range s.rules {
		ids = append(ids, r.ID)
	}
	return ids
}

// anExpression is a condition; a single = is the one sign that people try and that is not read, but for text in quotes.
func anExpression(*schema) object {
	return object{
		"type": []string{"string", "boolean"}, "pattern": `\S`, "maxLength": expression.MaxLength,
		"not": object{"type": "string", "pattern": `^([^"']*[^"'<>=!])?=([^=]|$)`},
	}
}

// aCondition is an expression; what it can name stands among the examples, which editors offer.
func aCondition(s *schema) object {
	o := anExpression(s)
	var names []string
	for _, m := range s.catalog {
		for _, v := range m.Values {
			if !slices.Contains(names, v.Name) {
				names = append(names, v.Name)
			}
		}
	}
	for _, list := range [][]catalog.Measure{s.catalog, folderOnly} {
		for _, v := range WholeModel(list) {
			names = append(names, v.Name)
		}
		names = append(names, textNames(list)...)
	}
	o["examples"] = append(append(names, processNames()...), expression.Asking()...)
	return o
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

// theMeasures are those that find places.
func theMeasures(s *schema) object {
	return object{"enum": measureNames(slices.DeleteFunc(slices.Clone(s.catalog), func(m catalog.Measure) bool { return len(m.Values) == 0 }))}
}

func rulesShape(*schema) object { return object{"allOf": []object{{"$ref": "#/definitions/rules"}}} }

// rulesByName describes the rules of the built-in sets by name, with their limits, and lets
// others be.
func rulesByName(s *schema) object {
	properties := object{}
	for _, r := range s.rules {
		properties[r.ID] = object{
			"description": string(r.Level) + " of " + strings.TrimSuffix(path.Base(r.findAt.File), ".yml") + ": " + r.Say,
			"allOf":       []object{{"$ref": "#/definitions/rule"}, limitsOf(r)},
		}
	}
	return object{
		"type": "object", "properties": properties, "propertyNames": object{"pattern": ruleID.String()},
		"additionalProperties": object{"$ref": "#/definitions/rule"},
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
