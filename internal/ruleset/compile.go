package ruleset

import (
	"strconv"

	"github.com/expr-lang/expr/ast"
)

// program computes an expression over a site's values, which are in catalogue order
// and units. Truth is 1 or 0; NaN says that there is no answer.
type program func(values []float64) float64

// names is what an expression may speak of.
type names struct {
	// find looks a name up; ok is false for an unknown one.
	find func(name string) (program, dim, bool)
	// known is every name, to suggest the nearest; listed is what a complaint spells
	// out where none is near.
	known, listed []string
}

// compiler turns a syntax tree into a program and checks units on the way.
type compiler struct {
	names
	tree syntaxTree
}

// compile checks the units of an expression and makes it a program.
func compile(tree syntaxTree, n names) (program, dim, *fault) {
	c := compiler{n, tree}
	return c.node(tree.root)
}

func constant(x float64) program { return func([]float64) float64 { return x } }

func (c *compiler) node(n ast.Node) (program, dim, *fault) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return constant(float64(n.Value)), plain, nil
	case *ast.FloatNode:
		return constant(n.Value), plain, nil
	case *ast.BoolNode:
		if n.Value {
			return constant(1), truth, nil
		}
		return constant(0), truth, nil
	case *ast.IdentifierNode:
		if q, ok := c.tree.quantities[n.Location().From]; ok {
			b := base(q.unit)
			return constant(q.value * b.factor), b.dim, nil
		}
		return c.name(n.Value, start(n))
	case *ast.MemberNode:
		owner, isName := n.Node.(*ast.IdentifierNode)
		field, isField := n.Property.(*ast.StringNode)
		if !isName || !isField || n.Method || n.Optional {
			return nil, plain, faultf(start(n), "only limits.NAME and process.NAME have a point in them")
		}
		return c.name(owner.Value+"."+field.Value, start(n))
	case *ast.UnaryNode:
		return c.unary(n)
	case *ast.BinaryNode:
		return c.binary(n)
	case *ast.CallNode:
		return c.call(n)
	case *ast.BuiltinNode:
		return nil, plain, unknownFunction(n.Name, start(n))
	}
	return nil, plain, faultf(start(n), "an expression here holds comparisons, arithmetic, and, or, not and %s only", functionNames)
}

func (c *compiler) name(name string, offset int) (program, dim, *fault) {
	p, d, ok := c.find(name)
	if !ok {
		return nil, plain, faultf(offset, "nothing here is called %q%s", name, hintOf(name, c.known, c.listed))
	}
	return p, d, nil
}

func (c *compiler) unary(n *ast.UnaryNode) (program, dim, *fault) {
	p, d, bad := c.node(n.Node)
	if bad != nil {
		return nil, plain, bad
	}
	switch n.Operator {
	case "not", "!":
		if !d.is(truth) {
			return nil, plain, faultf(start(n.Node), "%s needs true or false behind it, this is %s", n.Operator, d)
		}
		return func(v []float64) float64 { return 1 - p(v) }, truth, nil
	case "-", "+":
		if d == truth {
			return nil, plain, faultf(start(n.Node), "%s needs a number behind it, this is true or false", n.Operator)
		}
		if n.Operator == "+" {
			return p, d, nil
		}
		return func(v []float64) float64 { return -p(v) }, d, nil
	}
	return nil, plain, faultf(start(n), "operator %q is not known here", n.Operator)
}

func (c *compiler) binary(n *ast.BinaryNode) (program, dim, *fault) {
	make, ok := operators[n.Operator]
	if !ok {
		return nil, plain, faultf(n.Location().From, "operator %s is not known here", strconv.Quote(n.Operator))
	}
	p, d, bad := c.node(n.Left)
	if bad != nil {
		return nil, plain, bad
	}
	q, e, bad := c.node(n.Right)
	if bad != nil {
		return nil, plain, bad
	}
	return make(operands{p, q, d, e, start(n.Left), start(n.Right), n.Operator})
}

// start is the offset where a node's text begins.
func start(n ast.Node) int {
	switch n := n.(type) {
	case *ast.BinaryNode:
		return start(n.Left)
	case *ast.MemberNode:
		return start(n.Node)
	case *ast.CallNode:
		return start(n.Callee)
	case *ast.ConditionalNode:
		return start(n.Cond)
	case *ast.ChainNode:
		return start(n.Node)
	case *ast.SliceNode:
		return start(n.Node)
	}
	return n.Location().From
}
