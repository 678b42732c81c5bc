package expression

import (
	"fmt"
	"strings"

	"printlint/internal/catalog"
)

// Dim is what an expression's value is counted in: powers of six bases, or truth.
// Inside an expression every number is in mm, deg, g, money, s and B, so that products
// and quotients need no factors.
type Dim struct {
	power [6]int8 // by base
	truth bool
	any   bool // of something already complained about
}

// baseNames are the bases, in the order in which they are named.
var baseNames = [6]string{"mm", "deg", "g", "money", "s", "B"}

var (
	Plain  = Dim{}            // a bare number
	Truth  = Dim{truth: true} // true or false
	angle  = Dim{power: [6]int8{0, 1}}
	spoilt = Dim{any: true}
)

// Based is a catalogue unit in the bases, with the factor that leads there.
type Based struct {
	Unit   catalog.Unit
	Dim    Dim
	Factor float64 // from Unit to the bases
}

var basedUnits = []Based{
	{catalog.Number, Plain, 1},
	{catalog.Bool, Truth, 1},
	{catalog.MM, Dim{power: [6]int8{1}}, 1},
	{catalog.MM2, Dim{power: [6]int8{2}}, 1},
	{catalog.MM3, Dim{power: [6]int8{3}}, 1},
	{catalog.Deg, angle, 1},
	{catalog.Gram, Dim{power: [6]int8{0, 0, 1}}, 1},
	{catalog.Minute, Dim{power: [6]int8{0, 0, 0, 0, 1}}, 60},
	{catalog.Flow, Dim{power: [6]int8{3, 0, 0, 0, -1}}, 1},
	{catalog.Dense, Dim{power: [6]int8{-3, 0, 1}}, 1e-3},
	{catalog.Byte, Dim{power: [6]int8{0, 0, 0, 0, 0, 1}}, 1},
	{catalog.PerKg, Dim{power: [6]int8{0, 0, -1, 1}}, 1e-3},
}

// Base finds a catalogue unit's place in the bases.
func Base(u catalog.Unit) Based {
	for _, b := range basedUnits {
		if b.Unit == u {
			return b
		}
	}
	panic(fmt.Sprintf("expression: unit %q has no bases", u))
}

// UnitOf finds the catalogue unit of a dimension; a limit must have one.
func UnitOf(d Dim) (Based, bool) {
	for _, b := range basedUnits {
		if b.Dim == d {
			return b, true
		}
	}
	return Based{}, false
}

// tolerance is what a comparison of two such values allows, in the bases.
func tolerance(d Dim) float64 {
	if b, ok := UnitOf(d); ok {
		return catalog.Tolerance(b.Unit) * b.Factor
	}
	return catalog.Tolerance(catalog.Number)
}

// String names the dimension as a person would: "mm²", "degrees", "a bare number".
func (d Dim) String() string {
	if d.truth {
		return "true or false"
	}
	switch d {
	case Plain:
		return "a bare number"
	case angle:
		return "degrees"
	}
	if b, ok := UnitOf(d); ok {
		return b.Unit.Symbol()
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

// Lost says that a mistake hides what the value is counted in.
func (d Dim) Lost() bool { return d.any }

// Is says whether a value of dimension d may stand where e is needed.
func (d Dim) Is(e Dim) bool { return d == e || d.any || e.any }

// maxPower keeps the powers of a long product from running over.
const maxPower = 12

// times is the dimension of a product, or of a quotient with sign -1.
func (d Dim) times(e Dim, sign int8) (Dim, bool) {
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
func (d Dim) root() (Dim, bool) {
	for i := range d.power {
		if d.power[i]%2 != 0 {
			return d, false
		}
		d.power[i] /= 2
	}
	return d, true
}
