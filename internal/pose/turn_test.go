package pose

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// rotation checks that a matrix is one.
func rotation(t *testing.T, m [9]float64) {
	t.Helper()
	x, y, z := mesh.Vec{X: m[0], Y: m[1], Z: m[2]}, mesh.Vec{X: m[3], Y: m[4], Z: m[5]}, mesh.Vec{X: m[6], Y: m[7], Z: m[8]}
	require.InDelta(t, 0, x.Cross(y).Sub(z).Len(), 1e-12)
	require.InDelta(t, 1, x.Len(), 1e-12)
	require.InDelta(t, 1, y.Len(), 1e-12)
}

func TestTurningsBringTheDirectionDown(t *testing.T) {
	seed := dice.Seed(t)
	rng := rand.New(rand.NewPCG(seed, 1))
	for range 2000 {
		d := mesh.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit()
		turn := TurningTo(d)
		m := turn.Matrix()
		rotation(t, m)
		require.InDelta(t, 0, mesh.Turn(&m, d).Sub(Down).Len(), 1e-6)
		require.InDelta(t, 0, turn.Down().Sub(d).Len(), 1e-6)
		require.True(t, math.Abs(turn.AboutZ) <= 45.03, "the smaller turn about z")
		w := TurningTo(Whole(d))
		require.Equal(t, float64(int(w.AboutZ)), w.AboutZ, "whole degrees stay whole")
		require.Equal(t, float64(int(w.Angle)), w.Angle)
		require.Greater(t, Whole(d).Dot(d), 0.9998)
		require.Equal(t, d, snapped(d), "a direction of its own is kept")
		require.Equal(t, w.Down(), snapped(w.Down().Add(mesh.Vec{X: 3e-6, Y: -2e-6}).Unit()), "rounding is taken away")
	}
}

func TestQuarterTurnsAreExact(t *testing.T) {
	for _, c := range []struct {
		down  mesh.Vec
		words string
		m     [9]float64
	}{
		{mesh.Vec{Z: -1}, "as it lies", mesh.Identity},
		{mesh.Vec{Z: 1}, "turn it over", [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}},
		{mesh.Vec{Y: -1}, "turn it 90° about the x axis", [9]float64{1, 0, 0, 0, 0, -1, 0, 1, 0}},
		{mesh.Vec{Y: 1}, "turn it -90° about the x axis", [9]float64{1, 0, 0, 0, 0, 1, 0, -1, 0}},
		{mesh.Vec{X: 1}, "turn it 90° about the y axis", [9]float64{0, 0, 1, 0, 1, 0, -1, 0, 0}},
		{mesh.Vec{X: -1}, "turn it -90° about the y axis", [9]float64{0, 0, -1, 0, 1, 0, 1, 0, 0}},
	} {
		turn := TurningTo(c.down)
		assert.Equal(t, c.words, turn.String())
		assert.Equal(t, c.m, turn.Matrix(), c.words)
		assert.Equal(t, c.down, turn.Down(), c.words)
	}
}

func TestWords(t *testing.T) {
	askew := Turning{AboutZ: 30, Axis: 'x', Angle: 55}.Down()
	for _, c := range []struct {
		down         mesh.Vec
		contact      float64
		words, order string
	}{
		{Down, 100, "as it lies", "as it lies"},
		{mesh.Vec{Z: 1}, 500, "the flat top goes on the bed: turn it over", "turn it over, so that the flat top lies on the bed"},
		{mesh.Vec{Z: 1}, 0, "it stands on next to nothing, on the tip of its top: turn it over", "turn it over, so that it stands on the tip of its top"},
		{mesh.Vec{X: 1}, 50, "the flat right side (+x) goes on the bed: turn it 90° about the y axis",
			"turn it 90° about the y axis, so that the flat right side (+x) lies on the bed"},
		{Turning{Axis: 'y', Angle: 35}.Down(), 50, "the flat face towards its bottom and right side (+x) goes on the bed: lean it 35° about the y axis",
			"lean it 35° about the y axis, so that the flat face towards its bottom and right side (+x) lies on the bed"},
		{askew, 50, "the flat face towards its bottom, front (-y) and left side (-x) goes on the bed: turn it 30° about the z axis, then 55° about the x axis",
			"turn it 30° about the z axis, then 55° about the x axis, so that the flat face towards its bottom, front (-y) and left side (-x) lies on the bed"},
		{askew, 1, "it stands on next to nothing, on an edge or a corner towards its bottom, front (-y) and left side (-x): turn it 30° about the z axis, then 55° about the x axis",
			"turn it 30° about the z axis, then 55° about the x axis, so that it stands on an edge or a corner towards its bottom, front (-y) and left side (-x)"},
		{Turning{AboutZ: 83, Axis: 'x', Angle: 90}.Down(), 50, "the flat face towards its left side (-x) goes on the bed: turn it -7° about the z axis, then -90° about the y axis",
			"turn it -7° about the z axis, then -90° about the y axis, so that the flat face towards its left side (-x) lies on the bed"},
	} {
		assert.Equal(t, c.words, Words(c.down, c.contact))
		assert.Equal(t, c.order, Order(c.down, c.contact))
	}
}

// TestMatricesAreWhatIsReported: rounded once, before judging and writing alike.
func TestMatricesAreWhatIsReported(t *testing.T) {
	m := MatrixTo(mesh.Vec{X: 0.3, Y: -0.2, Z: 0.5}.Unit())
	for _, x := range m {
		assert.Equal(t, nine(x), x)
	}
	assert.Equal(t, mesh.Identity, MatrixTo(Down))
	assert.Equal(t, [3]float64{0, 0, 1}, Fine(mesh.Vec{Y: -1e-12, Z: 1}))
}
