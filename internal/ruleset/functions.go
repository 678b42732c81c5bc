package ruleset

import (
	"math"

	"github.com/expr-lang/expr/ast"
)

// functionNames is every function an expression may call, as complaints list them.
const functionNames = "abs, atan, cos, max, min, sin, sqrt, tan"

var functionList = []string{"abs", "atan", "cos", "max", "min", "sin", "sqrt", "tan"}

func unknownFunction(name string, offset int) *fault {
	return faultf(offset, "no function is called %q%s", name, hint(name, functionList))
}

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

func (c *compiler) call(n *ast.CallNode) (program, dim, *fault) {
	callee, ok := n.Callee.(*ast.IdentifierNode)
	if !ok {
		return nil, plain, faultf(start(n), "only %s can be called", functionNames)
	}
	name := callee.Value
	if name == "min" || name == "max" {
		return c.extreme(n, name)
	}
	f, ok := single[name]
	if !ok {
		return nil, plain, unknownFunction(name, start(n))
	}
	if len(n.Arguments) != 1 {
		return nil, plain, faultf(start(n), "%s takes one value, here are %d", name, len(n.Arguments))
	}
	p, d, bad := c.node(n.Arguments[0])
	if bad != nil {
		return nil, plain, bad
	}
	out, ok := f.unit(d)
	if !ok || d == truth {
		return nil, plain, faultf(start(n.Arguments[0]), "%s needs %s, this is %s", name, f.need, d)
	}
	run := f.run
	return func(v []float64) float64 { return run(p(v)) }, out, nil
}

// extreme compiles min and max of two values or more, all in one unit.
func (c *compiler) extreme(n *ast.CallNode, name string) (program, dim, *fault) {
	if len(n.Arguments) < 2 {
		return nil, plain, faultf(start(n), "%s takes two values or more, here are %d", name, len(n.Arguments))
	}
	pick := math.Max
	if name == "min" {
		pick = math.Min
	}
	result, unit, bad := c.node(n.Arguments[0])
	if bad != nil {
		return nil, plain, bad
	}
	if unit == truth {
		return nil, plain, faultf(start(n.Arguments[0]), "%s needs numbers, this is true or false", name)
	}
	for _, a := range n.Arguments[1:] {
		p, d, bad := c.node(a)
		if bad != nil {
			return nil, plain, bad
		}
		if !d.is(unit) {
			return nil, plain, faultf(start(a), "%s compares %s with %s", name, unit, d)
		}
		before := result
		result = func(v []float64) float64 { return pick(before(v), p(v)) }
	}
	return result, unit, nil
}
