package spatial_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// A step from one point to another tells the winding there as a ray through everything
// does. Unsure it is only where one of both lies on the surface, give or take a
// millionth of the way: of so many random points a few do.
func TestStepLikeWinding(t *testing.T) {
	r := dice.New(t)
	for _, solid := range []struct {
		name string
		soup *mesh.Triangles
	}{
		{"nested", shapes.Nested(12, 10, false)}, {"turned", shapes.Nested(12, 10, true)},
		{"overlapping", shapes.Move(shapes.Overlapping(12, 12, dice.Seed(t)), mesh.Vec{X: 5, Y: 5, Z: 5})}, {"comb", shapes.Comb(20, 8, 6, .2, .2)},
	} {
		_, tree := build(t, solid.soup)
		q := spatial.Query{Tree: tree}
		point := func() mesh.Vec { return mesh.Vec{X: r.Float64() * 10, Y: r.Float64() * 10, Z: r.Float64() * 10} }
		inside, unsure := 0, 0
		for range 2000 {
			from, to := point(), point()
			more, sure := q.Step(from, to)
			if !sure {
				unsure++
				_, _, one := tree.Nearest(from)
				_, _, other := tree.Nearest(to)
				require.Less(t, min(one, other), 1.001e-6*to.Sub(from).Len(), solid.name)
				continue
			}
			w := tree.Winding(to, mesh.Vec{Z: 1})
			require.Equal(t, w, tree.Winding(from, mesh.Vec{X: 1})+more, solid.name)
			if w != 0 {
				inside++
			}
		}
		assert.Less(t, unsure, 10, solid.name)
		assert.Greater(t, inside, 100, solid.name)
		assert.Positive(t, q.Cost, solid.name)
	}
	_, tree := build(t, shapes.Cube(10))
	q := spatial.Query{Tree: tree}
	for _, to := range []mesh.Vec{{X: 10, Y: 5, Z: 4}, {X: 0, Y: 5, Z: 4}} {
		_, sure := q.Step(mesh.Vec{X: 5, Y: 5, Z: 4}, to)
		assert.False(t, sure, "a point on the surface")
		_, sure = q.Step(to, mesh.Vec{X: 5, Y: 5, Z: 4})
		assert.False(t, sure, "from the surface")
	}
}

// Second copies are ignored: what crosses the first one is told once.
func TestSecondCopiesArePassedOver(t *testing.T) {
	pair := shapes.Join(shapes.Cube(10), shapes.Move(shapes.Cube(10), mesh.Vec{X: 3, Y: 4, Z: 5}))
	m, tree := build(t, pair)
	want := tree.Crossings(context.Background(), m, nil, 1000, 1)
	require.NotEmpty(t, want.Pairs)
	twice := mesh.Weld(shapes.Join(pair, pair, pair))
	topo := twice.Topology()
	require.Len(t, topo.Duplicate, 2*len(m.Tris))
	all, err := spatial.Build(twice, nil, 1)
	require.NoError(t, err)
	for _, jobs := range []int{1, 3} {
		assert.Equal(t, want, all.Crossings(context.Background(), twice, topo.Duplicate, 1000, jobs))
	}
	assert.Greater(t, len(all.Crossings(context.Background(), twice, nil, 1000, 1).Pairs), 4*len(want.Pairs))
}

// Where far too many triangles lie in each other's boxes the search ends, at the same
// pairs whatever the number of workers, and within a stated cost.
func TestFarTooManyPairs(t *testing.T) {
	m, tree := build(t, shapes.EdgeFan(4000, 50))
	var first spatial.Crossing
	for i, jobs := range []int{1, 2, 5} {
		ctx := work.Start(context.Background(), 0)
		left := work.Of(ctx).Left()
		got := tree.Crossings(ctx, m, nil, 10_000, jobs)
		assert.True(t, got.Cut && got.More)
		assert.Less(t, left-work.Of(ctx).Left(), int64(1_200_000_000))
		if i == 0 {
			first = got
		}
		assert.Equal(t, first, got, "%d workers", jobs)
	}
	ctx := work.Start(context.Background(), 1_000_000)
	tree.Crossings(ctx, m, nil, 10_000, 2)
	assert.ErrorIs(t, work.Of(ctx).Err(), work.ErrLimit, "the limit of the whole ends it too")
}
