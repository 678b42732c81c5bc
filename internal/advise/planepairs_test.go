package advise

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestPairs: of three flanges on a stem two come off, each at its underside, and nothing hangs. Where
// each pair of planes leaves something, as on a post with a row of arms, there is none.
func TestPairs(t *testing.T) {
	flanges := shapes.Revolve(shapes.Polygon{
		{0, 0}, {28, 0}, {28, 4}, {9, 4}, {9, 30}, {28, 30}, {28, 34}, {9, 34}, {9, 60}, {28, 60}, {28, 64}, {0, 64},
	}, 60)
	single, pairs, err := planes(t.Context(), mesh.Weld(flanges), []mesh.Vec{{Z: 1}}, 50)
	require.NoError(t, err)
	for _, p := range single {
		assert.Greater(t, p.hang, 1000.0, "one cut leaves a flange in the air")
	}
	require.Len(t, pairs, pairsOf)
	assert.Zero(t, pairs[0].hang)
	low, high := pairs[0].planes[0].offset, pairs[0].planes[1].offset
	for _, at := range []float64{low, high} {
		assert.True(t, at > 4-1e-3 && at < 30+1e-3 || at > 34-1e-3 && at < 60+1e-3, "through the stem: %v", at)
	}
	assert.Less(t, low, 32.0)
	assert.Greater(t, high, 32.0)

	arms := shapes.Box(mesh.Vec{X: -5, Y: -5}, mesh.Vec{X: 5, Y: 5, Z: 90})
	for i := range 6 {
		z := float64(10 + 14*i)
		arms = shapes.Join(arms, shapes.Box(mesh.Vec{X: -25, Y: -4, Z: z}, mesh.Vec{X: 25, Y: 4, Z: z + 5}))
	}
	_, pairs, err = planes(t.Context(), mesh.Weld(arms), []mesh.Vec{{Z: 1}}, 50)
	require.NoError(t, err)
	assert.Empty(t, pairs)
}
