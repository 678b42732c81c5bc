package support

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/dice"
	"printlint/internal/measure"
	"printlint/internal/mesh"
)

// slowApart holds every place against all that have more air below them and are kept.
func slowApart(places []Underside) []Underside {
	var list []Underside
	for i := range places {
		if slowKept(places, i) {
			list = append(list, places[i])
		}
	}
	return list
}

func slowKept(places []Underside, i int) bool {
	for k := range places {
		a, b := &places[k].Below, &places[i].Below
		larger := a.Air > b.Air || a.Air == b.Air && k < i
		if larger && overlap(&a.Box, &b.Box) > 0.5*min(plan(&a.Box), plan(&b.Box)) && nearLevel(&a.Box, &b.Box) && slowKept(places, k) {
			return false
		}
	}
	return true
}

// TestAirCountsOnce: a wide slope found at one angle holds the flat places found at another,
// whichever is told first.
func TestAirCountsOnce(t *testing.T) {
	place := func(x, side float64) Underside {
		at := mesh.Vec{X: x, Z: 20}
		return Underside{Below: measure.Below{Area: side * side, Air: side * side * 20, Tilt: 90, Box: mesh.Box{Min: at, Max: at.Add(mesh.Vec{X: side, Y: side})}}}
	}
	places := []Underside{place(0, 4), place(20, 4), place(0, 30), place(12, 5)}
	sites := Plan(places, plastic)
	assert.Len(t, sites, 1)
	assert.InDelta(t, 30*30*20*gridShare, Sum(sites, plastic).Volume, 1e-9)
}

func TestApartLikeAllAgainstAll(t *testing.T) {
	r := dice.New(t)
	doubles := 0
	for range 200 {
		places := make([]Underside, 1+r.IntN(60))
		for i := range places {
			at := mesh.Vec{X: r.Float64() * 50, Y: r.Float64() * 50, Z: r.Float64() * 20}
			size := mesh.Vec{X: r.ExpFloat64() * 8, Y: r.ExpFloat64() * 8, Z: r.Float64() * 2 * float64(r.IntN(2))}
			places[i].Below = measure.Below{Air: r.Float64(), Box: mesh.Box{Min: at, Max: at.Add(size)}}
		}
		want := slowApart(places)
		assert.Equal(t, want, distinct(places))
		doubles += len(places) - len(want)
	}
	assert.Greater(t, doubles, 100, "places that lie in others")
}
