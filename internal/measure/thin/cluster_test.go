package thin

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

// Crowds of samples in a few cells are joined as each with each would be.
func TestClusterLikeAllAgainstAll(t *testing.T) {
	r := dice.New(t)
	groups := 0
	for range 30 {
		var samples []Sample
		var use []uint32
		for range 1 + r.IntN(12) {
			at := mesh.Vec{X: r.Float64() * 12, Y: r.Float64() * 12, Z: r.Float64() * 4}
			spread := r.Float64() * 1.5
			for range r.IntN(90) {
				use = append(use, uint32(len(samples)))
				samples = append(samples, Sample{At: at.Add(mesh.Vec{X: r.NormFloat64() * spread, Y: r.Float64() * spread, Z: r.Float64() * spread})})
			}
		}
		want := slowCluster(samples, use, 3)
		got := cluster(samples, use, 3)
		require.Equal(t, len(want), len(got))
		for i := range want {
			require.Equal(t, want[i], got[i])
		}
		groups += len(want)
	}
	assert.Greater(t, groups, 60)
}

// Two crowds a little too far apart cost no more than a look at their boxes.
func TestCrowdsOfSamples(t *testing.T) {
	const n = 100_000
	samples := make([]Sample, 2*n)
	use := make([]uint32, 2*n)
	for i := range samples {
		use[i] = uint32(i)
		samples[i].At = mesh.Vec{X: float64(i%n) * 1e-6, Y: float64(i%7) * 1e-3}
		if i >= n {
			samples[i].At.X += 3.11
		}
	}
	assert.Len(t, cluster(samples, use, 3), 2)
	assert.Len(t, cluster(samples, use, 3.02), 1)
}
