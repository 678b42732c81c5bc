package measure

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// A rack for bottles has many lying holes, and is an ordinary model: what hangs in each of them is looked at.
func TestARackOfManyLyingHolesIsMeasured(t *testing.T) {
	var holes []shapes.Polygon
	for i := range 9 {
		for k := range 8 {
			holes = append(holes, shapes.Ring(8+16*float64(i), 8+16*float64(k), 6, 32))
		}
	}
	rack := shapes.ExtrudeY(shapes.Rect(0, 0, 144, 128), 0, 40, holes...)
	ask := []Request{{"bridge", []float64{wholeLineTilt, 2}}, {"overhang", []float64{wholeLineTilt}}, {"overhang", []float64{68.2}}}
	results, err := NewBody(mesh.Weld(rack)).Measure(context.Background(), AsIs, process, Options{}, ask)
	require.NoError(t, err)
	for i, r := range results {
		assert.Empty(t, r.Undecided, ask[i])
	}
	assert.NotEmpty(t, results[0].Sites)
}
