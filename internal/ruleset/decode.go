package ruleset

import (
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
	"printlint/internal/expression"
	"printlint/internal/near"
)

// decoder reads the nodes of one file. Every method complains about what is wrong
// and goes on, so that a file's mistakes come all at once.
type decoder struct {
	*source
	*complaints
	catalog []catalog.Measure
}

// key is one key of a mapping: its name, its meaning, what it may hold, and how it
// is read into a T. The loader, the schema and the example are all held to it.
type key[T any] struct {
	name  string
	doc   string
	shape shape
	read  func(*decoder, *yaml.Node, T)
}

// mapping reads a mapping by its table of keys. what names the mapping in
// complaints.
func mapping[T any](d *decoder, n *yaml.Node, what string, keys []key[T], into T) {
	names := namesOf(keys)
	said := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		said[n.Content[i].Value] = true
	}
	d.entries(n, what, func(name, value *yaml.Node) {
		if i := slices.Index(names, name.Value); i >= 0 {
			keys[i].read(d, value, into)
			return
		}
		if taker, ok := any(into).(strayTaker); ok && taker.takeStray(d, name, value) {
			return
		}
		if cure := home(name.Value, value, what); cure != "" {
			d.add(d.pos(name), "%s", cure)
			return
		}
		d.add(d.pos(name), "unknown key %q in %s%s", name.Value, what, near.Hint(name.Value, names))
		// What else is wrong is found as if the name had been right.
		if best := near.Nearest(name.Value, names); best != "" && !said[best] {
			keys[slices.Index(names, best)].read(d, value, into)
		}
	})
}

// namesOf are the names of keys.
func namesOf[T any](keys []key[T]) []string {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.name
	}
	return names
}

// strayTaker is what knows more of a key that is not in its table.
type strayTaker interface {
	// takeStray says that nothing needs to be said of the key now.
	takeStray(d *decoder, name, value *yaml.Node) bool
}

// textKey is a key whose text goes into a field.
func textKey[T any](name, doc string, field func(T) *string) key[T] {
	return key[T]{name, doc, aWord, func(d *decoder, n *yaml.Node, into T) {
		if t, ok := d.words(n, name); ok {
			*field(into) = t.value
		}
	}}
}

// choiceKey is a key whose word, one of a few, goes into a field.
func choiceKey[T any, W ~string](name, doc string, of []string, field func(T) *W) key[T] {
	return key[T]{name, doc, oneOf(of...), func(d *decoder, n *yaml.Node, into T) {
		if w, ok := d.one(n, name, of); ok {
			*field(into) = W(w)
		}
	}}
}

// lengthKey is a key whose length in mm goes into a field.
func lengthKey[T any](name, doc string, field func(T) *float64) key[T] {
	return key[T]{name, doc, aQuantity(catalog.MM), func(d *decoder, n *yaml.Node, into T) {
		*field(into), _ = d.mm(n, name)
	}}
}

// listKey is a key whose items, each read by itself, go into a field.
func listKey[T any](name, doc string, s shape, read func(*decoder, *yaml.Node) (text, bool), field func(T) *[]text) key[T] {
	return key[T]{name, doc, s, func(d *decoder, n *yaml.Node, into T) {
		*field(into) = append(*field(into), d.texts(n, name, read)...)
	}}
}

// rulesKey and processKey are the keys that the configuration, sets and places share.
func rulesKey[T any](doc string, field func(T) *[]*rulePatch) key[T] {
	return key[T]{"rules", doc, rulesShape, func(d *decoder, n *yaml.Node, into T) { *field(into) = d.rules(n) }}
}

func processKey[T any](doc string, field func(T) *settings) key[T] {
	return key[T]{"process", doc, mapOf(&processKeys), func(d *decoder, n *yaml.Node, into T) {
		mapping(d, n, "process", processKeys, field(into))
	}}
}

// entries calls each with every key and value of a mapping, in the file's order,
// and complains about keys that come twice.
func (d *decoder) entries(n *yaml.Node, what string, each func(name, value *yaml.Node)) {
	if n.Kind != yaml.MappingNode {
		d.add(d.pos(n), "%s must be a mapping (key: value), this is %s%s", what, kindOf(n), asMapping(n, what))
		return
	}
	first := map[string]Position{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		if name.Kind != yaml.ScalarNode {
			d.add(d.pos(name), "a key of %s must be a word, this is %s", what, kindOf(name))
			continue
		}
		if at, twice := first[name.Value]; twice {
			d.add(d.pos(name), "key %q stands twice in %s, first in line %d; keep one", name.Value, what, at.Line)
			continue
		}
		first[name.Value] = d.pos(name)
		if m := bareKey.FindStringSubmatch(name.Value); m != nil && value.Tag == "!!null" && value.Value == "" {
			d.add(d.pos(name), "a colon is missing: write %s: %s", m[1], m[2])
			continue
		}
		if i+3 < len(n.Content) && n.Content[i+3].Tag == "!!null" {
			if text := d.commaIn(value, n.Content[i+2]); text != "" {
				d.comma(value, name.Value, text)
				i += 2
				continue
			}
		}
		each(name, value)
	}
}

// items calls each with every item of a list.
func (d *decoder) items(n *yaml.Node, what string, each func(*yaml.Node)) {
	if n.Kind != yaml.SequenceNode {
		d.add(d.pos(n), "%s must be a list, this is %s%s", what, kindOf(n), asList(n, what))
		return
	}
	for _, item := range n.Content {
		each(item)
	}
}

// texts reads a list of texts, each by itself.
func (d *decoder) texts(n *yaml.Node, what string, read func(*decoder, *yaml.Node) (text, bool)) (list []text) {
	d.items(n, what, func(item *yaml.Node) {
		if t, ok := read(d, item); ok {
			list = append(list, t)
		}
	})
	return list
}

// kindOf names what a node is.
func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	}
	switch n.Tag {
	case "!!null":
		return "empty"
	case "!!int", "!!float":
		return "a number"
	case "!!bool":
		return "true or false"
	case "!!timestamp":
		return "a date"
	}
	return "text"
}

// words reads text that is not empty.
func (d *decoder) words(n *yaml.Node, what string) (text, bool) {
	return d.scalar(n, what, "text", n.Tag == "!!str")
}

// formula reads text that may also look like a number.
func (d *decoder) formula(n *yaml.Node, what string) (text, bool) {
	return d.scalar(n, what, "an expression", n.Tag != "!!null")
}

func (d *decoder) scalar(n *yaml.Node, what, need string, fits bool) (text, bool) {
	if n.Kind == yaml.ScalarNode && fits && strings.TrimSpace(n.Value) != "" {
		return text{n.Value, d.source, n}, true
	}
	got := kindOf(n)
	if got == "text" {
		got = "empty"
	}
	d.add(d.pos(n), "%s must be %s, this is %s", what, need, got)
	return text{}, false
}

// wordOf reads text in a list.
func wordOf(what string) func(*decoder, *yaml.Node) (text, bool) {
	return func(d *decoder, n *yaml.Node) (text, bool) { return d.words(n, what) }
}

// one reads one of a few words.
func (d *decoder) one(n *yaml.Node, what string, of []string) (string, bool) {
	choice := strings.Join(of, ", ")
	switch {
	case n.Kind != yaml.ScalarNode || n.Tag == "!!null":
		d.add(d.pos(n), "%s must be one of %s, this is %s", what, choice, kindOf(n))
	case !slices.Contains(of, n.Value) && meant(n.Value, of) != "":
		d.add(d.pos(n), "%s cannot be %q; write %s", what, n.Value, meant(n.Value, of))
	case !slices.Contains(of, n.Value):
		d.add(d.pos(n), "%s cannot be %q; it is one of %s", what, n.Value, choice)
	default:
		return n.Value, true
	}
	return "", false
}

// quantity reads a number in the given unit.
func (d *decoder) quantity(n *yaml.Node, what string, unit catalog.Unit) (float64, bool) {
	if n.Kind != yaml.ScalarNode || n.Tag != "!!str" && n.Tag != "!!int" && n.Tag != "!!float" {
		d.add(d.pos(n), "%s must be a number with its unit (%s), this is %s", what, unit.Symbol(), kindOf(n))
		return 0, false
	}
	value, got, err := catalog.ParseQuantity(n.Value)
	if err != nil {
		cure := ""
		if bad, ok := err.(*catalog.UnitError); ok {
			cure = expression.UnitHint(bad.Word)
		}
		d.add(d.pos(n), "%s: %s%s", what, err, cure)
		return 0, false
	}
	if got == catalog.Number && unit != catalog.Number {
		d.add(d.pos(n), "%s lacks its unit; write %s", what, catalog.FormatLimit(value, unit))
		return 0, false
	}
	if got != unit {
		d.add(d.pos(n), "%s is counted in %s, not in %s", what, unit.Symbol(), strings.TrimSpace(n.Value[catalog.NumberLength(n.Value):]))
		return 0, false
	}
	return value, true
}

// mm reads a length that may lack its unit, as points in reports do.
func (d *decoder) mm(n *yaml.Node, what string) (float64, bool) {
	if n.Kind == yaml.ScalarNode && (n.Tag == "!!int" || n.Tag == "!!float") {
		if value, err := strconv.ParseFloat(n.Value, 64); err == nil && value-value == 0 {
			return value, true
		}
	}
	return d.quantity(n, what, catalog.MM)
}

// triple reads a list of three.
func (d *decoder) triple(n *yaml.Node, what string, read func(*yaml.Node, string) (float64, bool)) ([3]float64, bool) {
	var out [3]float64
	for i := 0; i+1 < len(n.Content); i++ {
		if text := d.commaIn(n.Content[i], n.Content[i+1]); text != "" {
			d.comma(n.Content[i], what, text)
			return out, false
		}
	}
	if n.Kind != yaml.SequenceNode || len(n.Content) != 3 {
		d.add(d.pos(n), "%s must be a list of three: x, y, z%s", what, asThree(n, what))
		return out, false
	}
	fine := true
	for i, item := range n.Content {
		value, ok := read(item, what)
		out[i], fine = value, fine && ok
	}
	return out, fine
}
