package ruleset

import (
	"fmt"
	"math"
	"strings"

	"printlint/internal/catalog"
)

// dim is what an expression's value is counted in: powers of five bases, or truth.
// Inside an expression every number is in mm, deg, s, g and money, so that products
// and quotients need no factors.
type dim struct {
	length, angle, time, mass, money int8
	truth                            bool
	any                              bool // of something already complained about
}

var (
	plain  = dim{}
	length = dim{length: 1}
	angle  = dim{angle: 1}
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
	{catalog.MM, length, 1},
	{catalog.MM2, dim{length: 2}, 1},
	{catalog.MM3, dim{length: 3}, 1},
	{catalog.Deg, angle, 1},
	{catalog.Gram, dim{mass: 1}, 1},
	{catalog.Minute, dim{time: 1}, 60},
	{catalog.Flow, dim{length: 3, time: -1}, 1},
	{catalog.Dense, dim{mass: 1, length: -3}, 1e-3},
	{catalog.PerKg, dim{money: 1, mass: -1}, 1e-3},
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
	for _, p := range []struct {
		word  string
		power int8
	}{{"mm", d.length}, {"deg", d.angle}, {"g", d.mass}, {"money", d.money}, {"s", d.time}} {
		word := p.word
		if n := math.Abs(float64(p.power)); n > 1 {
			word += fmt.Sprint(n)
		}
		if p.power > 0 {
			above = append(above, word)
		} else if p.power < 0 {
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
	r := dim{
		length: d.length + sign*e.length, angle: d.angle + sign*e.angle, time: d.time + sign*e.time,
		mass: d.mass + sign*e.mass, money: d.money + sign*e.money,
	}
	for _, p := range []int8{r.length, r.angle, r.time, r.mass, r.money} {
		if p > maxPower || p < -maxPower {
			return r, false
		}
	}
	return r, true
}

// root is the dimension of a square root.
func (d dim) root() (dim, bool) {
	if d.any {
		return d, true
	}
	for _, p := range []int8{d.length, d.angle, d.time, d.mass, d.money} {
		if p%2 != 0 {
			return d, false
		}
	}
	return dim{length: d.length / 2, angle: d.angle / 2, time: d.time / 2, mass: d.mass / 2, money: d.money / 2}, true
}
