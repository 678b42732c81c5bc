package spatial

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestNearHandsOverAllTriangles holds the walk against a look at every box.
func TestNearHandsOverAllTriangles(t *testing.T) {
	m := mesh.Weld(shapes.Sphere(10, 24))
	tree, err := Build(m, nil, 1)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(dice.Seed(t), 1))
	some := 0
	for range 200 {
		at := mesh.Vec{X: rng.Float64()*24 - 12, Y: rng.Float64()*24 - 12, Z: rng.Float64()*24 - 12}
		box := mesh.Box{Min: at, Max: at.Add(mesh.Vec{X: rng.Float64() * 4, Y: rng.Float64() * 4, Z: rng.Float64() * 4})}
		got := map[uint32]bool{}
		q := Query{Tree: tree}
		q.Near(box, 0.5, func(tri uint32) bool { got[tri] = true; return true })
		for i := range m.Tris {
			a, b, c := m.Corners(i)
			own := mesh.EmptyBox()
			own.Include(a)
			own.Include(b)
			own.Include(c)
			own = own.Grow(0.5)
			if own.Min.X <= box.Max.X && own.Max.X >= box.Min.X && own.Min.Y <= box.Max.Y && own.Max.Y >= box.Min.Y &&
				own.Min.Z <= box.Max.Z && own.Max.Z >= box.Min.Z {
				some++
				assert.True(t, got[uint32(i)], "triangle %d near %v", i, box)
			}
		}
	}
	assert.Greater(t, some, 200)
}

// TestWithinAgreesWithManyPoints holds the distance of two triangles against that of points
// spread over one of them.
func TestWithinAgreesWithManyPoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(dice.Seed(t), 1))
	corner := func(around float64) mesh.Vec {
		return mesh.Vec{X: around + rng.Float64()*2, Y: rng.Float64() * 2, Z: rng.Float64() * 2}
	}
	var counts [2]int
	for range 2000 {
		shift := rng.Float64() * 2.5
		p := [3]mesh.Vec{corner(0), corner(0), corner(0)}
		q := [3]mesh.Vec{corner(shift), corner(shift), corner(shift)}
		least := leastBetween(&p, &q)
		assert.True(t, Within(&p, &q, least*1.000001), "%v %v", p, q)
		if least > 0.2 { // the points come as near as that to the nearest one
			counts[0]++
			assert.False(t, Within(&p, &q, least-0.2), "%v %v", p, q)
		}
		if Within(&p, &q, 0) {
			counts[1]++
			assert.Less(t, least, 0.2, "%v %v", p, q)
		}
	}
	assert.Greater(t, slices.Min(counts[:]), 50)
}

// leastBetween is the least distance of points spread over p from q.
func leastBetween(p, q *[3]mesh.Vec) float64 {
	least := math.Inf(1)
	const n = 24
	for i := range n + 1 {
		for j := range n + 1 - i {
			u, v := float64(i)/n, float64(j)/n
			at := p[0].Add(p[1].Sub(p[0]).Scale(u)).Add(p[2].Sub(p[0]).Scale(v))
			least = min(least, NearestOnTriangle(at, q[0], q[1], q[2]).Sub(at).Len())
		}
	}
	return least
}

func TestWithinOfExactTriangles(t *testing.T) {
	flat := [3]mesh.Vec{{}, {X: 4}, {Y: 4}}
	spike := [3]mesh.Vec{{X: 1, Y: 1, Z: -2}, {X: 1, Y: 1, Z: 3}, {X: 1, Y: 1.5, Z: 3}}
	assert.True(t, Within(&flat, &spike, 0), "an edge through the inside, all corners far away")
	over := [3]mesh.Vec{{X: 1, Y: 1, Z: .5}, {X: 2, Y: 1, Z: .5}, {X: 1, Y: 2, Z: .5}}
	assert.True(t, Within(&flat, &over, .5))
	assert.False(t, Within(&flat, &over, .499))
	crossed := [3]mesh.Vec{{X: 2, Y: -1, Z: .25}, {X: 2, Y: -3, Z: .25}, {X: 2, Y: -1, Z: 4}}
	assert.True(t, Within(&flat, &crossed, math.Sqrt(1.0625)))
	assert.False(t, Within(&flat, &crossed, 1.03))
}
