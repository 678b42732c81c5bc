package support

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/dice"
	"printlint/internal/measure"
	"printlint/internal/mesh"
)

// slowApart holds every place against all before it.
func slowApart(places []Underside) []Underside {
	var list []Underside
	for _, p := range places {
		double := false
		for i := range list {
			k := &list[i].Below.Box
			if overlap(k, &p.Below.Box) > 0.5*min(plan(k), plan(&p.Below.Box)) && nearLevel(k, &p.Below.Box) {
				double = true
				if p.Below.Air > list[i].Below.Air {
					list[i] = p
				}
				break
			}
		}
		if !double {
			list = append(list, p)
		}
	}
	return list
}

func TestApartLikeAllAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(dice.Seed(t), 0))
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
