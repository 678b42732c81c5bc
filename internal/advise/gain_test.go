package advise

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/shapes"
)

// TestAChangeLeavesLessThanTheModelAsItLies: a mushroom is best printed on its cap, where it has an
// error more than as it lies, but next to nothing to support. What only ends that one is not told.
func TestAChangeLeavesLessThanTheModelAsItLies(t *testing.T) {
	profile := shapes.Polygon{{0, 0}, {8, 0}, {8, 30}, {26, 30}}
	for k := 1; k < 24; k++ {
		sin, cos := math.Sincos(float64(k) * math.Pi / 48)
		profile = append(profile, [2]float64{26 * cos, 30 + 16*sin})
	}
	a := adviceOn(t, shapes.Revolve(append(profile, [2]float64{0, 46}), 96))
	require.NotEqual(t, "as it lies", a.Poses[0].Words, "turned over it needs less")
	lies := finding.LevelCount{}
	for _, w := range a.Poses {
		if w.Words == "as it lies" {
			lies = w.Findings
		}
	}
	require.Less(t, lies.Error, a.Poses[0].Findings.Error)
	if a.Cut != nil {
		assert.Less(t, a.Cut.Pose.Findings.Error, lies.Error, a.Cut.Words)
	}
	if a.Edits != nil {
		assert.Less(t, a.Edits.Pose.Findings.Error, lies.Error, a.Edits.Words)
	}
}

// TestFewerLooksAtLargeModels: what is judged with solids is bounded by triangles too.
func TestFewerLooksAtLargeModels(t *testing.T) {
	assert.Equal(t, editLooks, looksAt(0))
	assert.Equal(t, editLooks, looksAt(100_000))
	assert.Equal(t, 8, looksAt(300_000))
	assert.Equal(t, 3, looksAt(10_000_000))
}
