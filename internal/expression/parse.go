package expression

import (
	"cmp"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/near"
)

// Program computes an expression over a site's values, which are in catalogue order
// and units. Truth is 1 or 0; NaN says that there is no answer.
type Program func(values []float64) float64

// value is a part of an expression: its program, what that is counted in, the byte at
// which it begins, and what is known of it beforehand.
type value struct {
	run   Program
	dim   Dim
	at    int
	fixed bool // the same at every site
	sure  bool // never 0, though it may differ
}

// never0 says that the value is never 0.
func (v value) never0() bool { return v.sure || v.fixed && v.run(nil) != 0 }

// Names is what an expression may speak of.
type Names struct {
	// Find looks a name up; ok is false for an unknown one.
	Find func(name string) (m Meaning, ok bool)
	// Known is every name, to suggest the nearest; Listed is what a complaint spells
	// out where none is near.
	Known, Listed []string
	// Hint, when not nil, ends the complaint about an unknown name, unless it answers "".
	Hint func(name string) string
	// Count, when not nil, is how many sites of a measure meet a condition; see Counted.
	Count func(measure string) *Counted
	// Text, when not nil, takes up what is asked of the text that a name stands for; nil for
	// other names.
	Text func(name string) Taker
	// Glob, which goes with Text, makes a test of a glob of file names, or says what is wrong.
	Glob func(glob string) (test func(name string) bool, bad string)
	// Sure says that nothing may be divided by a value that can be 0.
	Sure bool
}

// Meaning is what a name in an expression or in words stands for: a value of the site, or
// a number that is known on load.
type Meaning struct {
	Value  int     // position among the site's values, or -1
	Number float64 // in Unit, where Value is -1
	Unit   catalog.Unit
	Lost   bool // it was complained about, so that its unit is not asked for
}

// program reads the value, or is the number, in the bases.
func (m Meaning) program() (Program, Dim) {
	unit := Base(m.Unit)
	i, factor := m.Value, unit.Factor
	switch {
	case m.Lost:
		return Constant(m.Number), spoilt
	case i < 0:
		return Constant(m.Number * factor), unit.Dim
	case factor != 1:
		return func(v []float64) float64 { return float64(v[i] * factor) }, unit.Dim
	}
	return func(v []float64) float64 { return v[i] }, unit.Dim
}

// parser reads an expression once, from left to right, into closures.
type parser struct {
	Names
	text   string
	tokens []token // those still to come
	places bool    // the condition of a count is read
}

// Compile makes an expression a program and checks units on the way. Its grammar, from
// the loosest to the tightest: or, and, comparisons, + and -, * and /, a sign, a name,
// number, call or bracket. not binds tighter than + and looser than *.
func Compile(s string, n Names) (p Program, d Dim, bad *Fault) {
	defer func() {
		switch caught := recover().(type) {
		case nil:
		case *Fault:
			p, d, bad = nil, Plain, caught
		default:
			panic(caught)
		}
	}()
	x := &parser{n, s, lex(s), false}
	v := x.expression(0)
	if t := x.next(); t.text != "" {
		unexpected(t)
	}
	return v.run, v.dim, nil
}

// Constant is the program that always answers x.
func Constant(x float64) Program { return func([]float64) float64 { return x } }

// next takes the next token; the end is there for ever.
func (x *parser) next() token {
	t := x.tokens[0]
	if t.text != "" {
		x.tokens = x.tokens[1:]
	}
	return t
}

// sees says whether the next token is the given one.
func (x *parser) sees(text string) bool { return x.tokens[0].text == text }

func (x *parser) expect(text string) {
	if t := x.next(); t.text != text {
		unexpected(t)
	}
}

// foreign are operators that expressions have elsewhere.
var foreign = []string{"in", "%", "^", "**", "..", "|", "&", "=", "?", "??", "?."}

func unexpected(t token) {
	switch {
	case t.text == "":
		fail(t.at, "the expression ends too early")
	case slices.Contains(foreign, t.text):
		fail(t.at, "operator %q is not known here", t.text)
	}
	fail(t.at, "did not expect %q here", t.text)
}

// How tightly a sign and not bind, on the scale of operators.
const (
	notBinds     = 5
	productBinds = 6
	signBinds    = 7
)

// expression reads operands joined by operators that bind at least that tightly. What
// binds alike goes from the left, but a < b < c is a < b and b < c.
func (x *parser) expression(least int) value {
	left := x.operand()
	for {
		o, ok := operators[x.tokens[0].text]
		if !ok || o.binds < least {
			x.noText(left)
			return left
		}
		sign := x.next().text
		right := x.expression(o.binds + 1)
		joined, fixed := o.join(sign, left, right), left.fixed && right.fixed
		for orders(sign) && orders(x.tokens[0].text) {
			sign = x.next().text
			third := x.expression(o.binds + 1)
			joined = both("and", joined, compare(sign, right, third))
			right = third
		}
		if sign == "/" && x.Sure && !right.never0() {
			x.mayBe0(right)
		}
		sure := o.binds == productBinds && left.never0() && right.never0()
		left = value{joined.run, joined.dim, left.at, fixed, sure}
	}
}

// mayBe0 complains about what is divided by, which reaches up to the next token.
func (x *parser) mayBe0(by value) {
	words, least := Spaced(x.text[by.at:x.tokens[0].at]), "1"
	if u, ok := UnitOf(by.dim); ok && u.Unit != catalog.Number {
		least += " " + string(u.Unit)
	}
	for strings.Count(words, ")") > strings.Count(words, "(") { // it began behind a bracket
		words = strings.TrimSpace(words[:strings.LastIndex(words, ")")])
	}
	fail(by.at, "%s can be 0, and nothing can be divided by 0; write max(%s, %s) here: then it counts as at least %s", words, words, least, least)
}

func (x *parser) operand() value {
	t := x.next()
	switch t.text {
	case "(":
		v := x.expression(0)
		x.expect(")")
		return v
	case "not", "!":
		v := x.expression(notBinds)
		if !v.dim.Is(Truth) {
			fail(v.at, "%s needs true or false behind it, this is %s", t.text, v.dim)
		}
		return value{run: func(s []float64) float64 { return 1 - v.run(s) }, dim: Truth, at: t.at, fixed: v.fixed}
	case "-", "+":
		v := x.expression(signBinds)
		if v.dim == Truth {
			fail(v.at, "%s needs a number behind it, this is true or false", t.text)
		}
		if t.text == "+" {
			return value{v.run, v.dim, t.at, v.fixed, v.sure}
		}
		return value{func(s []float64) float64 { return -v.run(s) }, v.dim, t.at, v.fixed, v.sure}
	case "true":
		return value{run: Constant(1), dim: Truth, at: t.at, fixed: true}
	case "false":
		return value{run: Constant(0), dim: Truth, at: t.at, fixed: true}
	case "", "and", "or", "in":
		unexpected(t)
	}
	switch {
	case t.number != nil:
		return *t.number
	case t.inQuotes():
		x.misplaced(t)
	case !isLetter(t.text[0]) && t.text[0] != '_':
		unexpected(t)
	case asking[t.text].text != "" && (x.Text != nil || x.sees("(")):
		return x.names(t)
	case x.sees("("):
		return x.call(t)
	case strings.Count(t.text, ".") > 1 && !Follows(t.text) && !ability.MatchString(t.text):
		fail(t.at, "only limits.NAME and process.NAME have a point in them")
	}
	if x.Text != nil {
		if take := x.Text(t.text); take != nil {
			return x.textTest(t, take)
		}
	}
	m, ok := x.Find(t.text)
	if !ok {
		hint := ""
		if x.Hint != nil {
			hint = x.Hint(t.text)
		}
		fail(t.at, "nothing here is called %q%s", t.text, cmp.Or(hint, near.HintOf(t.text, x.Known, x.Listed)))
	}
	p, d := m.program()
	return value{run: p, dim: d, at: t.at, fixed: m.Value < 0}
}
