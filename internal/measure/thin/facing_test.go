package thin

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// solids are things with walls and gaps of every kind: even and curved, thin and
// thick, one body and many, some wound inside out.
func solids(r *rand.Rand) map[string]*mesh.Triangles {
	plate := shapes.Box(mesh.Vec{}, mesh.Vec{X: 12, Y: 9, Z: .6})
	about := mesh.Vec{X: r.Float64() - .5, Y: r.Float64() - .5, Z: .1 + r.Float64()}.Unit()
	return map[string]*mesh.Triangles{
		"turned plate": shapes.Turn(plate, about, 360*r.Float64()),
		"two plates":   shapes.Join(plate, shapes.Move(plate, mesh.Vec{Z: .9})),
		"overlapping":  shapes.Join(plate, shapes.Move(plate, mesh.Vec{X: 3, Y: 2, Z: .3})),
		"tube":         shapes.Turn(shapes.Tube(10, 9.5, 12, 96), about, 360*r.Float64()),
		"thick tube":   shapes.Tube(10, 6, 12, 96),
		"ball":         shapes.NoisyBall(8, .3, 4, 1),
		"small ball":   shapes.NoisyBall(.4, .05, 3, 1),
		"sheet":        shapes.Gyroid(12),
		"slot":         shapes.Slot(.3),
		"fin":          shapes.Fin(.2),
		"moved far":    shapes.Move(shapes.Tube(10, 9.5, 12, 48), mesh.Vec{X: 4e4, Y: -3e4, Z: 1e3}),
	}
}

// What the bounds leave out has nothing: looking from every triangle gives the same
// samples to the bit, in the order of the file.
func TestBoundsAgainstLookingFromEveryTriangle(t *testing.T) {
	r := dice.New(t)
	found, spared := 0, 0
	for name, soup := range solids(r) {
		m := mesh.Weld(soup)
		topo := m.Topology()
		tree, err := spatial.Build(m, topo.Spare, 1)
		require.NoError(t, err)
		for _, kind := range []Medium{Wall, Gap} {
			for _, inverted := range [][]uint32{nil, {0}} {
				opt := Options{Medium: kind, Limit: .2 + 1.2*r.Float64(), Jobs: 2, Inverted: inverted}
				got, err := Find(context.Background(), m, topo, tree, opt)
				require.NoError(t, err)
				p := newFinder(m, topo, tree, opt).sampler(work.Tally{})
				var want []Sample
				for tri := range m.Tris {
					p.out = nil
					p.triangle(uint32(tri))
					want = append(want, p.out...)
				}
				require.Equal(t, len(want), len(got.Samples), "%s, kind %d, limit %v", name, kind, opt.Limit)
				for i := range want {
					require.Equal(t, want[i], got.Samples[i], name)
				}
				found += len(want)
				spared += sparedBy(p.finder, tree.Order())
			}
		}
	}
	assert.Positive(t, found)
	assert.Positive(t, spared)
}

// sparedBy counts the bunches that nothing can face.
func sparedBy(f *finder, order []uint32) (n int) {
	f.facings = f.newFacingTree(order)
	for i := f.facings.first; i < len(f.facings.nodes); i++ {
		if some, _ := f.any(&f.facings.nodes[i]); !some {
			n++
		}
	}
	return n
}

// A solid ball is spared nearly all rays, else the bounds were no gain.
func TestMostOfASolidBallIsSpared(t *testing.T) {
	m := mesh.Weld(shapes.NoisyBall(20, .1, 5, 1))
	topo := m.Topology()
	tree, err := spatial.Build(m, topo.Spare, 1)
	require.NoError(t, err)
	for _, kind := range []Medium{Wall, Gap} {
		f := newFinder(m, topo, tree, Options{Medium: kind, Limit: .8})
		bunches := (len(m.Tris) + leafSize - 1) / leafSize
		assert.Greater(t, sparedBy(f, tree.Order()), bunches*9/10)
	}
}

// The walk through the heap comes to every bunch, whatever their number: without
// anything left out, that something faces a bunch is found as going over all finds it.
func TestHeapAgainstGoingOverAll(t *testing.T) {
	r := dice.New(t)
	yes, no := 0, 0
	for range 60 {
		soup := &mesh.Triangles{}
		for range 1 + r.IntN(8) {
			ball := shapes.NoisyBall(1+4*r.Float64(), .1, 1+r.IntN(3), r.Uint64())
			soup = shapes.Join(soup, shapes.Move(ball, mesh.Vec{X: 20 * r.Float64(), Y: 20 * r.Float64(), Z: 20 * r.Float64()}))
		}
		m := mesh.Weld(soup)
		topo := m.Topology()
		tree, err := spatial.Build(m, topo.Spare, 1)
		require.NoError(t, err)
		f := newFinder(m, topo, tree, Options{Medium: Medium(r.IntN(2)), Limit: .05 + r.Float64()})
		f.facings = f.newFacingTree(tree.Order())
		bunches := f.facings.nodes[f.facings.first:]
		for range 40 {
			one := f.boundsOf(uint32(r.IntN(len(m.Tris))))
			swept := f.sweep(&one)
			want := false
			for i := range bunches {
				want = want || bunches[i].touches(&swept) && bunches[i].opposes(&swept)
			}
			some, _ := f.any(&one)
			require.Equal(t, want, some, "%d bunches", len(bunches))
			if want {
				yes++
			} else {
				no++
			}
		}
	}
	t.Logf("faced %d, not faced %d", yes, no)
	assert.Greater(t, min(yes, no), 50)
}

// Spans of normals never leave out a pair that faces each other.
func TestFacingNormalsAreNotLeftOut(t *testing.T) {
	r := dice.New(t)
	normal := func(near mesh.Vec, spread float64) (mesh.Vec, bounds) {
		off := mesh.Vec{X: r.Float64() - .5, Y: r.Float64() - .5, Z: r.Float64() - .5}.Scale(spread)
		n := near.Add(off).Unit()
		v := [3]float32{float32(n.X), float32(n.Y), float32(n.Z)}
		return n, bounds{lowNormal: v, highNormal: v}
	}
	facingPairs := 0
	for range 3000 {
		axis := mesh.Vec{X: r.Float64() - .5, Y: r.Float64() - .5, Z: r.Float64() - .5}.Unit()
		a, b := emptyBounds(), emptyBounds()
		faces := false
		var those, others []mesh.Vec
		for range 1 + r.IntN(4) {
			n, s := normal(axis, .8)
			a.include(&s)
			those = append(those, n)
			n, s = normal(axis.Scale(-1), 1.5)
			b.include(&s)
			others = append(others, n)
		}
		for _, n := range those {
			for _, o := range others {
				faces = faces || -n.Dot(o) >= facing
			}
		}
		if faces {
			facingPairs++
			require.True(t, a.opposes(&b))
			require.True(t, b.opposes(&a))
		}
	}
	assert.Greater(t, facingPairs, 100)
}
