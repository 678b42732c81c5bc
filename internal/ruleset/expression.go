package ruleset

import (
	"math"
	"slices"
	"strings"
)

// program computes an expression over a site's values, which are in catalogue order
// and units. Truth is 1 or 0; NaN says that there is no answer.
type program func(values []float64) float64

// value is a part of an expression: its program, what that is counted in, and the byte at
// which it begins.
type value struct {
	run program
	dim dim
	at  int
}

// names is what an expression may speak of.
type names struct {
	// find looks a name up; ok is false for an unknown one.
	find func(name string) (m meaning, ok bool)
	// known is every name, to suggest the nearest; listed is what a complaint spells
	// out where none is near.
	known, listed []string
}

// parser reads an expression once, from left to right, into closures.
type parser struct {
	names
	tokens []token // those still to come
}

// compile makes an expression a program and checks units on the way. Its grammar, from
// the loosest to the tightest: or, and, comparisons, + and -, * and /, a sign, a name,
// number, call or bracket. not binds tighter than + and looser than *.
func compile(s string, n names) (p program, d dim, bad *fault) {
	defer func() {
		switch caught := recover().(type) {
		case nil:
		case *fault:
			p, d, bad = nil, plain, caught
		default:
			panic(caught)
		}
	}()
	x := &parser{n, lex(s)}
	v := x.expression(0)
	if t := x.next(); t.text != "" {
		unexpected(t)
	}
	return v.run, v.dim, nil
}

func constant(x float64) program { return func([]float64) float64 { return x } }

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
	notBinds  = 5
	signBinds = 7
)

// expression reads operands joined by operators that bind at least that tightly. What
// binds alike goes from the left, but a < b < c is a < b and b < c.
func (x *parser) expression(least int) value {
	left := x.operand()
	for {
		o, ok := operators[x.tokens[0].text]
		if !ok || o.binds < least {
			return left
		}
		sign := x.next().text
		right := x.expression(o.binds + 1)
		joined := o.join(sign, left, right)
		for orders(sign) && orders(x.tokens[0].text) {
			sign = x.next().text
			third := x.expression(o.binds + 1)
			joined = both("and", joined, compare(sign, right, third))
			right = third
		}
		left = value{joined.run, joined.dim, left.at}
	}
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
		if !v.dim.is(truth) {
			fail(v.at, "%s needs true or false behind it, this is %s", t.text, v.dim)
		}
		return value{func(s []float64) float64 { return 1 - v.run(s) }, truth, t.at}
	case "-", "+":
		v := x.expression(signBinds)
		if v.dim == truth {
			fail(v.at, "%s needs a number behind it, this is true or false", t.text)
		}
		if t.text == "+" {
			return value{v.run, v.dim, t.at}
		}
		return value{func(s []float64) float64 { return -v.run(s) }, v.dim, t.at}
	case "true":
		return value{constant(1), truth, t.at}
	case "false":
		return value{constant(0), truth, t.at}
	case "", "and", "or", "in":
		unexpected(t)
	}
	switch {
	case t.number != nil:
		return *t.number
	case !isLetter(t.text[0]) && t.text[0] != '_':
		unexpected(t)
	case x.sees("("):
		return x.call(t)
	case strings.Count(t.text, ".") > 1:
		fail(t.at, "only limits.NAME and process.NAME have a point in them")
	}
	m, ok := x.find(t.text)
	if !ok {
		fail(t.at, "nothing here is called %q%s", t.text, hintOf(t.text, x.known, x.listed))
	}
	p, d := m.program()
	return value{p, d, t.at}
}

// functionNames is every function an expression may call.
var functionNames = []string{"abs", "atan", "cos", "max", "min", "sin", "sqrt", "tan"}

// degree is one degree in radians.
const degree = math.Pi / 180

// single is a function of one argument: its unit check and what it computes. The
// result is defined by the language's own math package; the outer conversion keeps
// the last product from being joined with a sum.
var single = map[string]struct {
	unit func(dim) (dim, bool)
	need string
	run  func(float64) float64
}{
	"abs":  {func(d dim) (dim, bool) { return d, d != truth }, "a number", math.Abs},
	"sqrt": {dim.root, "a number, an area or the like", math.Sqrt},
	"atan": {from(plain, angle), "a bare number", func(x float64) float64 { return float64(math.Atan(x) / degree) }},
	"tan":  {from(angle, plain), "an angle in deg", func(x float64) float64 { return math.Tan(float64(x * degree)) }},
	"sin":  {from(angle, plain), "an angle in deg", func(x float64) float64 { return math.Sin(float64(x * degree)) }},
	"cos":  {from(angle, plain), "an angle in deg", func(x float64) float64 { return math.Cos(float64(x * degree)) }},
}

func from(in, out dim) func(dim) (dim, bool) {
	return func(d dim) (dim, bool) { return out, d.is(in) }
}

// call reads the arguments of a function.
func (x *parser) call(name token) value {
	if !slices.Contains(functionNames, name.text) {
		fail(name.at, "no function is called %q%s", name.text, hint(name.text, functionNames))
	}
	x.expect("(")
	var args []value
	for !x.sees(")") {
		args = append(args, x.expression(0))
		if !x.sees(")") {
			x.expect(",")
		}
	}
	x.expect(")")
	f, one := single[name.text]
	if !one {
		return extreme(name, args)
	}
	if len(args) != 1 {
		fail(name.at, "%s takes one value, here are %d", name.text, len(args))
	}
	v := args[0]
	d, ok := f.unit(v.dim)
	if !ok || v.dim == truth {
		fail(v.at, "%s needs %s, this is %s", name.text, f.need, v.dim)
	}
	return value{func(s []float64) float64 { return f.run(v.run(s)) }, d, name.at}
}

// extreme is min or max of two values or more, all in one unit.
func extreme(name token, args []value) value {
	if len(args) < 2 {
		fail(name.at, "%s takes two values or more, here are %d", name.text, len(args))
	}
	pick := math.Max
	if name.text == "min" {
		pick = math.Min
	}
	result, unit := args[0].run, args[0].dim
	if unit == truth {
		fail(args[0].at, "%s needs numbers, this is true or false", name.text)
	}
	for _, a := range args[1:] {
		if !a.dim.is(unit) {
			fail(a.at, "%s compares %s with %s", name.text, unit, a.dim)
		}
		before := result
		result = func(s []float64) float64 { return pick(before(s), a.run(s)) }
	}
	return value{result, unit, name.at}
}
