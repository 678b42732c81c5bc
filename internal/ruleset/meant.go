package ruleset

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
)

// otherWords are words that people write in place of those that are read here. The first
// that the place takes is meant.
var otherWords = map[string][]string{
	"off": {"none"}, "no": {"none"}, "false": {"none"}, "disable": {"none"}, "disabled": {"none"}, "never": {"none"},
	"ignore": {"none", "skip"}, "fail": {"error"}, "failure": {"error"}, "fatal": {"error"}, "critical": {"error"},
	"warn": {"warning"}, "info": {"note"}, "information": {"note"}, "hint": {"note"},
}

// meant is the word, of those that a place takes, that another one was meant to be, or "".
func meant(word string, of []string) string {
	low := strings.Trim(strings.ToLower(word), `"'“”„‘’‚`)
	for _, w := range append(append([]string{low}, otherWords[low]...), catalog.InFull(word)) {
		if slices.Contains(of, w) {
			return w
		}
	}
	if s, ok := catalog.Spelled(word); ok { // µm is um
		for _, w := range of {
			if t, ok := catalog.Spelled(w); ok && t.Unit == s.Unit && t.Factor == s.Factor {
				return w
			}
		}
	}
	return ""
}

// plainWord is a text that stands in YAML without quotes, even within brackets.
var plainWord = regexp.MustCompile(`^[A-Za-z][\w./-]*$`)

// wordList is several of them with commas between.
var wordList = regexp.MustCompile(`^[A-Za-z][\w./-]*( *, *[A-Za-z][\w./-]*)+$`)

// comparing are the words by which people compare within a limit.
var comparing = regexp.MustCompile(`^(?i)(at least|at most|min\.?|max\.?|more than|less than|over|under|above|below|about|~|[<>≥≤]=?) *(.*)$`)

// asLimit says how to write a limit that compares, or "".
func asLimit(text string) string {
	m := comparing.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return ""
	}
	if _, _, err := catalog.ParseQuantity(m[2]); err != nil {
		return ""
	}
	return "a limit is a quantity alone: write " + m[2] + "; find says how it is compared"
}

// otherKeys are what people call the keys of a rule, each with the way that is read.
var otherKeys = map[string]string{
	"severity": ` (did you mean "level"?)`, "priority": ` (did you mean "level"?)`, "message": ` (did you mean "say"?)`, "when": ` (did you mean "find"?)`, "if": ` (did you mean "find"?)`,
	"enabled": switchOff, "enable": switchOff, "disabled": switchOff, "disable": switchOff, "off": switchOff, "skip": switchOff, "ignore": switchOff, "active": switchOff,
}

const switchOff = "; level: none switches a rule off"

// asList says how to write what stands in place of a list, or "".
func asList(n *yaml.Node, name string) string {
	switch {
	case n.Kind == yaml.MappingNode && name == "waivers" && len(n.Content) > 1 && slices.Contains([]string{"need", "most", "days"}, n.Content[0].Value):
		return "; what every waiver must have stands under waiver-terms, as in waiver-terms: {need: [until]}"
	case n.Kind == yaml.MappingNode:
		return "; put - before each of its items"
	case n.Kind != yaml.ScalarNode || n.Tag == "!!null" || name == "places" || name == "waivers":
		return ""
	case wordList.MatchString(n.Value):
		return fmt.Sprintf("; write %s: [%s]", name, strings.Join(strings.FieldsFunc(n.Value, func(r rune) bool { return r == ',' || r == ' ' }), ", "))
	case plainWord.MatchString(n.Value):
		return fmt.Sprintf("; write %s: [%s]", name, n.Value)
	}
	return fmt.Sprintf("; write %s: [%s]", name, inQuotes(n.Value))
}

// asMapping says how to write what stands in place of a mapping, or "".
func asMapping(n *yaml.Node, what string) string {
	switch {
	case n.Kind == yaml.SequenceNode && n.Style&yaml.FlowStyle == 0:
		return "; write each item as name: value, without -"
	case n.Kind != yaml.ScalarNode:
		return ""
	case n.Tag == "!!null":
		return "; what belongs to it begins with more spaces"
	}
	if id, ok := strings.CutPrefix(what, "rule "); ok {
		if level := meant(n.Value, levelWords); level != "" {
			return fmt.Sprintf("; write %s: {level: %s}", id, level)
		}
	}
	if m := tightKey.FindStringSubmatch(n.Value); m != nil {
		return fmt.Sprintf("; a space is missing: write %s: %s", m[1], m[2])
	}
	if m := bareKey.FindStringSubmatch(n.Value); m != nil && !strings.HasPrefix(what, "a ") {
		return fmt.Sprintf("; a colon is missing: write %s: %s", m[1], m[2])
	}
	return ""
}

// home says under which key of the configuration another key belongs, or "".
func home(name string, value *yaml.Node, but string) string {
	under := ""
	switch {
	case name == "name" && but == "the configuration":
		return "name stands in the file of a machine; list that file in .printlint.yml under machines, and choose it with --machine"
	case has(processKeys, name):
		under = "process"
	case has(modelKeys, name):
		under = "models"
	}
	if under == "" || under == but {
		return ""
	}
	if value.Kind != yaml.ScalarNode {
		return fmt.Sprintf("%s belongs under %s", name, under)
	}
	return fmt.Sprintf("%s belongs under %s: %s: {%s: %s}", name, under, under, name, value.Value)
}

func has[T any](keys []key[T], name string) bool {
	return slices.ContainsFunc(keys, func(k key[T]) bool { return k.name == name })
}

// commaIn finds a number whose comma YAML took for the end of an item: the text that was
// meant, where b stands right behind the number a and its comma, or "".
func (d *decoder) commaIn(a, b *yaml.Node) string {
	switch {
	case a.Kind != yaml.ScalarNode || b.Kind != yaml.ScalarNode || a.Line != b.Line || b.Column != a.Column+len(a.Value)+1:
		return ""
	case a.Style != 0 || catalog.NumberLength(a.Value) != len(a.Value) || b.Value == "" || b.Value[0] < '0' || b.Value[0] > '9':
		return ""
	}
	return a.Value + "," + b.Value
}

// comma complains about such a number.
func (d *decoder) comma(a *yaml.Node, name, text string) {
	d.add(d.pos(a), "%s: %s has a comma; write %s", name, text, catalog.PointFor(text))
}

// times parts three sides that are written as people say them, as in 220 x 220 x 250 mm.
var times = regexp.MustCompile(`^\s*([0-9.]+)\s*(\D*?)\s*[x×*]\s*([0-9.]+)\s*(\D*?)\s*[x×*]\s*([0-9.]+)\s*(\D*?)\s*$`)

// asThree says how to write three sides that stand in one text, or "".
func asThree(n *yaml.Node, what string) string {
	m := times.FindStringSubmatch(n.Value)
	if m == nil {
		return ""
	}
	unit := m[6]
	if unit == "" {
		unit = "mm"
	}
	return fmt.Sprintf("; write %s: [%s %s, %s %s, %s %s]", what, m[1], unit, m[3], unit, m[5], unit)
}
