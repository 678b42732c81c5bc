package expression

import "math"

// operator joins two values after checking their units; binds orders operators by how
// tightly they bind. The result's place is for the caller to set.
type operator struct {
	binds int
	join  func(sign string, l, r value) value
}

var operators = map[string]operator{
	"or": {1, either}, "||": {1, either},
	"and": {2, both}, "&&": {2, both},
	">": {3, compare}, "<": {3, compare}, ">=": {3, compare}, "<=": {3, compare}, "==": {3, compare}, "!=": {3, compare},
	"+": {4, sum}, "-": {4, sum},
	"*": {productBinds, product}, "/": {productBinds, product},
}

// orders says whether a sign orders numbers, so that it can be chained.
func orders(sign string) bool { return sign == ">" || sign == "<" || sign == ">=" || sign == "<=" }

// checkSame complains unless both sides are counted in the same unit.
func checkSame(sign string, l, r value) {
	if l.dim.Is(r.dim) {
		return
	}
	cure := ""
	if r.dim == Plain && !l.dim.truth {
		cure = "; does the number lack its unit?"
	}
	fail(r.at, "%s on the left of %s, but %s on its right%s", l.dim, sign, r.dim, cure)
}

func checkNumbers(sign string, l, r value) {
	for _, v := range []value{l, r} {
		if v.dim == Truth {
			fail(v.at, "%s needs a number, this is true or false", sign)
		}
	}
}

// both is and: false where either side is, whatever the other answers.
func both(sign string, l, r value) value { return join(sign, l, r, 0) }

// either is or: true where either side is, whatever the other answers.
func either(sign string, l, r value) value { return join(sign, l, r, 1) }

// join decides by the one answer of a side that leaves the other no say.
func join(sign string, l, r value, decides float64) value {
	for _, v := range []value{l, r} {
		if !v.dim.Is(Truth) {
			fail(v.at, "%s joins what is true or false, this is %s; compare it with something", sign, v.dim)
		}
	}
	return value{run: func(v []float64) float64 {
		x := l.run(v)
		if x == decides {
			return decides
		}
		if y := r.run(v); y != decides {
			return x * y // both are the other answer, or NaN
		}
		return decides
	}, dim: Truth}
}

// comparisons say by how much the left side lies over the right one.
var comparisons = map[string]func(over, slack float64) bool{
	">":  func(over, slack float64) bool { return over > slack },
	"<":  func(over, slack float64) bool { return over < -slack },
	">=": func(over, slack float64) bool { return over >= -slack },
	"<=": func(over, slack float64) bool { return over <= slack },
	"==": func(over, slack float64) bool { return math.Abs(over) <= slack },
	"!=": func(over, slack float64) bool { return math.Abs(over) > slack },
}

// compare is strict about limits: a value counts as past one only by more than the
// tolerance of its unit, and as equal to it within.
func compare(sign string, l, r value) value {
	checkSame(sign, l, r)
	if l.dim == Truth && orders(sign) {
		fail(l.at, "%s orders numbers, this is true or false", sign)
	}
	p, q, holds, slack := l.run, r.run, comparisons[sign], tolerance(l.dim)
	return value{run: func(v []float64) float64 {
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
	}, dim: Truth}
}

func sum(sign string, l, r value) value {
	checkNumbers(sign, l, r)
	checkSame(sign, l, r)
	if sign == "+" {
		return value{run: func(v []float64) float64 { return l.run(v) + r.run(v) }, dim: l.dim}
	}
	return value{run: func(v []float64) float64 { return l.run(v) - r.run(v) }, dim: l.dim}
}

// product also divides. The conversions keep a processor from joining a product with
// a following sum, which would round differently from one machine to the next.
func product(sign string, l, r value) value {
	checkNumbers(sign, l, r)
	power := int8(1)
	if sign == "/" {
		power = -1
		if r.fixed && r.run(nil) == 0 {
			fail(r.at, "this is 0, and nothing can be divided by 0")
		}
	}
	d, ok := l.dim.times(r.dim, power)
	if !ok {
		fail(l.at, "too high a power of a unit")
	}
	if sign == "/" {
		return value{run: func(v []float64) float64 { return float64(l.run(v) / r.run(v)) }, dim: d}
	}
	return value{run: func(v []float64) float64 { return float64(l.run(v) * r.run(v)) }, dim: d}
}
