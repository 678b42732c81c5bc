package cut

import (
	"context"
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// around are the planes of a convex solid around a middle, with a radius from it to each.
func around(r *rand.Rand, middle mesh.Vec, radius float64, count int) (list []Plane) {
	for range count {
		n := mesh.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}.Unit()
		list = append(list, Plane{n, n.Dot(middle) + radius})
	}
	return list
}

// TestAwayAddsUp: what is taken and what is left are closed, add up to the whole, have no triangle
// without area, and what is taken lies within all planes.
func TestAwayAddsUp(t *testing.T) {
	r := dice.New(t)
	all, count, crossed := solids(), 0, 0
	delete(all, "five feet") // whose bodies share lines in the plane of a side
	for _, name := range slices.Sorted(maps.Keys(all)) {
		m := mesh.Weld(all[name])
		box := m.Box()
		size := box.Size()
		for k := range 20 {
			middle := mesh.Vec{X: box.Min.X + r.Float64()*size.X, Y: box.Min.Y + r.Float64()*size.Y, Z: box.Min.Z + r.Float64()*size.Z}
			planes := around(r, middle, 0.3*size.Z*r.Float64(), 3+k%5)
			rest, taken, err := Away(meter(t), m, planes)
			count++
			if errors.Is(err, ErrSection) {
				crossed++
				continue
			}
			require.NoError(t, err, "%s %d", name, k)
			if taken == nil {
				assert.Same(t, m, rest)
				continue
			}
			assert.True(t, taken.Topology().Closed(), "%s %d", name, k)
			assert.True(t, len(rest.Tris) == 0 || rest.Topology().Closed(), "%s %d", name, k)
			assert.InDelta(t, m.Volume(), taken.Volume()+rest.Volume(), 1e-6*m.Volume(), "%s %d", name, k)
			for i := range rest.Tris {
				assert.False(t, rest.IsZero(i), "%s %d", name, k)
			}
			for _, v := range taken.Verts {
				for _, p := range planes {
					assert.LessOrEqual(t, p.beyond(mesh.Of64(v)), 1e-3, "%s %d", name, k)
				}
			}
		}
	}
	assert.LessOrEqual(t, crossed, count/50, "of %d, as outlines that nearly cross", count)
}

// TestAwayLeavesTheRestAsItIs: a notch in the edge of one of two cubes is 3 by 4 mm square along
// 20 mm, and the triangles of the other cube are all there.
func TestAwayLeavesTheRestAsItIs(t *testing.T) {
	m := mesh.Weld(shapes.Join(shapes.Cube(20), shapes.Move(shapes.Cube(20), shapes.Vec{X: 30})))
	planes := []Plane{{mesh.Vec{X: 1}, 3}, {mesh.Vec{Z: -1}, -16}}
	rest, taken, err := Away(meter(t), m, planes)
	require.NoError(t, err)
	assert.InDelta(t, 3*4*20, taken.Volume(), 1e-4)
	assert.InDelta(t, 2*8000-240, rest.Volume(), 1e-3)
	assert.True(t, rest.Topology().Closed())
	other := 0
	for i := range rest.Tris {
		if a, b, c := rest.Corners(i); math.Min(a.X, math.Min(b.X, c.X)) >= 30 {
			other++
		}
	}
	assert.Equal(t, 12, other)
}

// TestAwayInsideMakesACavity, and all of a body leaves nothing.
func TestAwayInsideMakesACavity(t *testing.T) {
	m := mesh.Weld(shapes.Cube(20))
	cube := func(lo, hi float64) []Plane {
		return []Plane{{mesh.Vec{X: 1}, hi}, {mesh.Vec{X: -1}, -lo}, {mesh.Vec{Y: 1}, hi}, {mesh.Vec{Y: -1}, -lo}, {mesh.Vec{Z: 1}, hi}, {mesh.Vec{Z: -1}, -lo}}
	}
	rest, taken, err := Away(meter(t), m, cube(5, 9))
	require.NoError(t, err)
	assert.InDelta(t, 64, taken.Volume(), 1e-9)
	assert.InDelta(t, 8000-64, rest.Volume(), 1e-3)
	assert.Len(t, rest.Topology().Shells, 2)
	rest, taken, err = Away(meter(t), m, cube(-1, 21))
	require.NoError(t, err)
	assert.Empty(t, rest.Tris)
	assert.InDelta(t, 8000, taken.Volume(), 1e-9)
}

// TestAwayEndsAtTheLimit of work, and where the context does, wherever that is.
func TestAwayEndsAtTheLimit(t *testing.T) {
	m := mesh.Weld(shapes.Icosphere(12, 3))
	planes := []Plane{{mesh.Vec{X: 1}, 3}, {mesh.Vec{Z: -1}, -2}, {mesh.Vec{Y: 1}, 1}}
	stopped := 0
	for limit := time.Microsecond; ; limit *= 3 {
		rest, _, err := Away(work.Of(work.Start(t.Context(), limit)), m, planes)
		if err == nil {
			break
		}
		assert.ErrorIs(t, err, work.ErrLimit)
		assert.Nil(t, rest)
		stopped++
	}
	assert.Positive(t, stopped)
	ended, end := context.WithCancel(t.Context())
	end()
	_, _, err := Away(work.Of(ended), m, planes)
	assert.ErrorIs(t, err, context.Canceled)
}
