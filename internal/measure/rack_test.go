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

// A hundred boxes that lie on their side hang over more than can be weighed cell by cell: they are
// weighed at a coarser grain, and their bridges are as long.
func TestARackOfLargeBoxesIsMeasured(t *testing.T) {
	var boards []*mesh.Triangles
	for i := range 11 {
		x, z := 20*float64(i), 19.8*float64(i)
		boards = append(boards, shapes.Box(mesh.Vec{X: x}, mesh.Vec{X: x + 1.6, Y: 60, Z: 200}),
			shapes.Box(mesh.Vec{Z: z}, mesh.Vec{X: 201.6, Y: 60, Z: z + 1.6}))
	}
	bridges := take(t, shapes.Join(boards...), "bridge", wholeLineTilt, 2)
	assert.Empty(t, bridges.Undecided)
	require.Len(t, bridges.Sites, 100)
	for _, s := range bridges.Sites {
		assert.InDelta(t, 18.4, value(t, "bridge", s, "span"), 0.4)
	}
}
