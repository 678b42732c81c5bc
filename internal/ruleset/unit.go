package ruleset

import (
	"fmt"
	"strings"

	"printlint/internal/catalog"
)

// dim is what an expression's value is counted in: powers of five bases, or truth.
// Inside an expression every number is in mm, deg, g, money and s, so that products
// and quotients need no factors.
type dim struct {
	power [5]int8 // by base
	truth bool
	any   bool // of something already complained about
}

// baseNames are the bases, in the order in which they are named.
var baseNames = [5]string{"mm", "deg", "g", "money", "s"}

var (
	plain  = dim{}
	angle  = dim{power: [5]int8{0, 1}}
	truth  = dim{truth: true}
	spoilt = dim{any: true}
)

// based is a catalogue unit in the bases, with the factor that leads there.
type based struct {
	unit   catalog.Unit
	dim    dim
	factor float64
}

var basedUnits = []based{
	{catalog.Number, plain, 1},
	{catalog.Bool, truth, 1},
	{catalog.MM, dim{power: [5]int8{1}}, 1},
	{catalog.MM2, dim{power: [5]int8{2}}, 1},
	{catalog.MM3, dim{power: [5]int8{3}}, 1},
	{catalog.Deg, angle, 1},
	{catalog.Gram, dim{power: [5]int8{0, 0, 1}}, 1},
	{catalog.Minute, dim{power: [5]int8{0, 0, 0, 0, 1}}, 60},
	{catalog.Flow, dim{power: [5]int8{3, 0, 0, 0, -1}}, 1},
	{catalog.Dense, dim{power: [5]int8{-3, 0, 1}}, 1e-3},
	{catalog.PerKg, dim{power: [5]int8{0, 0, -1, 1}}, 1e-3},
}

// base finds a catalogue unit's place in the bases.
func base(u catalog.Unit) based {
	for _, b := range basedUnits {
		if b.unit == u {
			return b
		}
	}
	panic(fmt.Sprintf("ruleset: unit %q has no bases", u))
}

// known finds the catalogue unit of a dimension; a limit must have one.
func known(d dim) (based, bool) {
	for _, b := range basedUnits {
		if b.dim == d {
			return b, true
		}
	}
	return based{}, false
}

// tolerance is what a comparison of two such values allows, in the bases.
func tolerance(d dim) float64 {
	if b, ok := known(d); ok {
		return catalog.Tolerance(b.unit) * b.factor
	}
	return catalog.Tolerance(catalog.Number)
}

// String names the dimension as a person would: "mm2", "deg", "a bare number".
func (d dim) String() string {
	if d.truth {
		return "true or false"
	}
	if d == plain {
		return "a bare number"
	}
	if b, ok := known(d); ok {
		return string(b.unit)
	}
	var above, below []string
	for i, n := range d.power {
		word := baseNames[i]
		if n > 1 || n < -1 {
			word += fmt.Sprint(max(n, -n))
		}
		if n > 0 {
			above = append(above, word)
		} else if n < 0 {
			below = append(below, word)
		}
	}
	if len(above) == 0 {
		above = []string{"1"}
	}
	return strings.Join(append([]string{strings.Join(above, " ")}, below...), "/")
}

// is says whether a value of dimension d may stand where e is needed.
func (d dim) is(e dim) bool { return d == e || d.any || e.any }

// maxPower keeps the powers of a long product from running over.
const maxPower = 12

// times is the dimension of a product, or of a quotient with sign -1.
func (d dim) times(e dim, sign int8) (dim, bool) {
	if d.any || e.any {
		return spoilt, true
	}
	for i, n := range e.power {
		d.power[i] += sign * n
		if d.power[i] > maxPower || d.power[i] < -maxPower {
			return d, false
		}
	}
	return d, true
}

// root is the dimension of a square root.
func (d dim) root() (dim, bool) {
	for i := range d.power {
		if d.power[i]%2 != 0 {
			return d, false
		}
		d.power[i] /= 2
	}
	return d, true
}
