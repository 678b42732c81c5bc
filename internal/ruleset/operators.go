package ruleset

import "math"

// operands are the two sides of an operator.
type operands struct {
	left, right       program
	leftDim, rightDim dim
	leftAt, rightAt   int
	operator          string
}

// operators makes the program of each operator after checking its sides' units.
var operators = map[string]func(operands) (program, dim, *fault){
	"and": both, "&&": both, "or": either, "||": either,
	">": compare, "<": compare, ">=": compare, "<=": compare, "==": compare, "!=": compare,
	"+": sum, "-": sum, "*": product, "/": product,
}

// same complains unless both sides are counted in the same unit.
func (o operands) same() *fault {
	if o.leftDim.is(o.rightDim) {
		return nil
	}
	cure := ""
	if o.rightDim == plain && !o.leftDim.truth {
		cure = "; does the number lack its unit?"
	}
	return faultf(o.rightAt, "%s on the left of %s, but %s on its right%s", o.leftDim, o.operator, o.rightDim, cure)
}

// truths complains unless both sides are true or false.
func (o operands) truths() *fault {
	if !o.leftDim.is(truth) {
		return faultf(o.leftAt, "%s joins what is true or false, this is %s; compare it with something", o.operator, o.leftDim)
	}
	if !o.rightDim.is(truth) {
		return faultf(o.rightAt, "%s joins what is true or false, this is %s; compare it with something", o.operator, o.rightDim)
	}
	return nil
}

// numbers complains when a side is true or false.
func (o operands) numbers() *fault {
	if o.leftDim == truth {
		return faultf(o.leftAt, "%s needs a number, this is true or false", o.operator)
	}
	if o.rightDim == truth {
		return faultf(o.rightAt, "%s needs a number, this is true or false", o.operator)
	}
	return nil
}

func both(o operands) (program, dim, *fault) {
	if bad := o.truths(); bad != nil {
		return nil, plain, bad
	}
	p, q := o.left, o.right
	return func(v []float64) float64 {
		x := p(v)
		if x == 0 {
			return 0
		}
		if y := q(v); y == 0 {
			return 0
		} else {
			return x * y // 1, or NaN when either has no answer
		}
	}, truth, nil
}

func either(o operands) (program, dim, *fault) {
	if bad := o.truths(); bad != nil {
		return nil, plain, bad
	}
	p, q := o.left, o.right
	return func(v []float64) float64 {
		x := p(v)
		if x == 1 {
			return 1
		}
		if y := q(v); y == 1 {
			return 1
		} else {
			return x + y
		}
	}, truth, nil
}

// compare is strict about limits: a value counts as past one only by more than the
// tolerance of its unit, and as equal to it within.
func compare(o operands) (program, dim, *fault) {
	if bad := o.same(); bad != nil {
		return nil, plain, bad
	}
	if o.leftDim == truth && o.operator != "==" && o.operator != "!=" {
		return nil, plain, faultf(o.leftAt, "%s orders numbers, this is true or false", o.operator)
	}
	var holds func(over, slack float64) bool
	switch o.operator {
	case ">":
		holds = func(over, slack float64) bool { return over > slack }
	case "<":
		holds = func(over, slack float64) bool { return over < -slack }
	case ">=":
		holds = func(over, slack float64) bool { return over >= -slack }
	case "<=":
		holds = func(over, slack float64) bool { return over <= slack }
	case "==":
		holds = func(over, slack float64) bool { return math.Abs(over) <= slack }
	default:
		holds = func(over, slack float64) bool { return math.Abs(over) > slack }
	}
	p, q, slack := o.left, o.right, tolerance(o.leftDim)
	return func(v []float64) float64 {
		x, y := p(v), q(v)
		over := x - y
		if x == y { // also where both are infinite
			over = 0
		}
		switch {
		case math.IsNaN(over):
			return over
		case holds(over, slack):
			return 1
		}
		return 0
	}, truth, nil
}

func sum(o operands) (program, dim, *fault) {
	if bad := o.numbers(); bad != nil {
		return nil, plain, bad
	}
	if bad := o.same(); bad != nil {
		return nil, plain, bad
	}
	p, q := o.left, o.right
	if o.operator == "+" {
		return func(v []float64) float64 { return p(v) + q(v) }, o.leftDim, nil
	}
	return func(v []float64) float64 { return p(v) - q(v) }, o.leftDim, nil
}

// product also divides. The conversions keep a processor from joining a product with
// a following sum, which would round differently from one machine to the next.
func product(o operands) (program, dim, *fault) {
	if bad := o.numbers(); bad != nil {
		return nil, plain, bad
	}
	sign := int8(1)
	if o.operator == "/" {
		sign = -1
	}
	d, ok := o.leftDim.times(o.rightDim, sign)
	if !ok {
		return nil, plain, faultf(o.leftAt, "too high a power of a unit")
	}
	p, q := o.left, o.right
	if sign < 0 {
		return func(v []float64) float64 { return float64(p(v) / q(v)) }, d, nil
	}
	return func(v []float64) float64 { return float64(p(v) * q(v)) }, d, nil
}
