package expression

import (
	"math"
	"slices"

	"printlint/internal/near"
)

// functionNames is every function an expression may call.
var functionNames = []string{"abs", "atan", "cos", "max", "min", "sin", "sqrt", "tan"}

// Functions lists what an expression may call.
func Functions() []string { return slices.Clone(functionNames) }

// degree is one degree in radians.
const degree = math.Pi / 180

// single is a function of one argument: its unit check and what it computes. The
// result is defined by the language's own math package; the outer conversion keeps
// the last product from being joined with a sum.
var single = map[string]struct {
	unit func(Dim) (Dim, bool)
	need string
	run  func(float64) float64
}{
	"abs":  {func(d Dim) (Dim, bool) { return d, d != Truth }, "a number", math.Abs},
	"sqrt": {Dim.root, "a number, an area or the like", math.Sqrt},
	"atan": {from(Plain, angle), "a bare number", func(x float64) float64 { return float64(math.Atan(x) / degree) }},
	"tan":  {from(angle, Plain), "an angle in deg", func(x float64) float64 { return math.Tan(float64(x * degree)) }},
	"sin":  {from(angle, Plain), "an angle in deg", func(x float64) float64 { return math.Sin(float64(x * degree)) }},
	"cos":  {from(angle, Plain), "an angle in deg", func(x float64) float64 { return math.Cos(float64(x * degree)) }},
}

func from(in, out Dim) func(Dim) (Dim, bool) {
	return func(d Dim) (Dim, bool) { return out, d.Is(in) }
}

// call reads the arguments of a function.
func (x *parser) call(name token) value {
	if name.text == countName {
		return x.count(name)
	}
	if !slices.Contains(functionNames, name.text) {
		fail(name.at, "no function is called %q%s", name.text, near.Hint(name.text, functionNames))
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
	if !ok || v.dim == Truth {
		fail(v.at, "%s needs %s, this is %s", name.text, f.need, v.dim)
	}
	return value{run: func(s []float64) float64 { return f.run(v.run(s)) }, dim: d, at: name.at, fixed: v.fixed}
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
	result, unit, fixed, sure := args[0].run, args[0].dim, args[0].fixed, false
	if unit == Truth {
		fail(args[0].at, "%s needs numbers, this is true or false", name.text)
	}
	for _, a := range args {
		sure = sure || name.text == "max" && a.fixed && a.run(nil) > 0
	}
	for _, a := range args[1:] {
		if !a.dim.Is(unit) {
			fail(a.at, "%s compares %s with %s", name.text, unit, a.dim)
		}
		before := result
		fixed = fixed && a.fixed
		result = func(s []float64) float64 { return pick(before(s), a.run(s)) }
	}
	return value{run: result, dim: unit, at: name.at, fixed: fixed, sure: sure}
}
