package plain

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// taken is the result of one measure of the program, with its defaults.
func taken(t *testing.T, s *mesh.Triangles, name string) *measure.Result {
	t.Helper()
	view := standard(t)
	results, err := measure.NewBody(mesh.Weld(s)).Measure(t.Context(), measure.AsIs, view.Process, measure.Options{}, []measure.Request{{Measure: name}})
	require.NoError(t, err)
	require.Empty(t, results[0].Undecided)
	return &results[0]
}

// The position of a few blocks strewn about is the same by both ways to find it.
func TestPositionIsFoundAlike(t *testing.T) {
	seed := dice.Seed(t)
	several := 0
	for n := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, n))
		var list []*mesh.Triangles
		for range 1 + r.IntN(7) {
			x, y, z := between(r, -90, 90), between(r, -90, 90), between(r, -5, 30)
			list = append(list, box(x, y, z, x+between(r, 2, 60), y+between(r, 2, 60), z+between(r, 2, 20)))
		}
		soup := shapes.Turn(shapes.Join(list...), shapes.Z, between(r, 0, 360))
		plain, program := Locate(soup), measure.Position.Model(taken(t, soup, "position"))
		assert.InDelta(t, plain.Lift, program.Lift, 1e-9)
		assert.InDelta(t, plain.X, program.X, 1e-9)
		assert.InDelta(t, plain.Y, program.Y, 1e-9)
		assert.Equal(t, plain.Parts, program.Parts, "case %d", n)
		assert.InDelta(t, plain.Apart, program.Apart, 1e-9, "case %d", n)
		if plain.Parts > 1 {
			several++
		}
	}
	assert.Greater(t, several, 10, "hardly anything stood apart")
}
