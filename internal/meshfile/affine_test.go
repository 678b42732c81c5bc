package meshfile

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
)

func someAffine(r *rand.Rand) (m affine) {
	for i := range m {
		m[i] = 4*r.Float64() - 2
	}
	return m
}

func somePoint(r *rand.Rand) mesh.Point {
	return mesh.Point{float32(r.NormFloat64()), float32(r.NormFloat64()), float32(r.NormFloat64())}
}

// TestAffineLaws holds that doing one after the other is doing both, and that volumes
// multiply.
func TestAffineLaws(t *testing.T) {
	r := dice.New(t)
	for range 1000 {
		m, n, o := someAffine(r), someAffine(r), someAffine(r)
		both := m.then(&n)
		assert.InDelta(t, m.volume()*n.volume(), both.volume(), 1e-9)
		p := somePoint(r)
		step := m.apply(p)
		want, got := n.apply(step), both.apply(p)
		for k := range want {
			require.InDelta(t, want[k], got[k], 1e-4)
		}
		no, mn := n.then(&o), m.then(&n)
		left, right := m.then(&no), mn.then(&o)
		for k := range left {
			require.InDelta(t, left[k], right[k], 1e-9)
		}
		alone := m.then(&identity)
		require.Equal(t, m, alone)
	}
}

// TestAffineVolume compares with the volume of a moved solid.
func TestAffineVolume(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 100 {
		m := someAffine(r)
		moved := make([]mesh.Point, len(tetra))
		for i, p := range tetra {
			moved[i] = m.apply(p)
		}
		assert.InDelta(t, m.volume()*volumeOf(tetra), volumeOf(moved), 1e-5)
	}
}

func TestTurned(t *testing.T) {
	x, y, z := mesh.Point{1, 0, 0}, mesh.Point{0, 1, 0}, mesh.Point{0, 0, 1}
	for _, c := range []struct {
		angles   [3]float64
		from, to mesh.Point
	}{
		{[3]float64{90, 0, 0}, y, z}, {[3]float64{0, 90, 0}, z, x}, {[3]float64{0, 0, 90}, x, y},
		{[3]float64{180, 0, 0}, y, mesh.Point{0, -1, 0}}, {[3]float64{-270, 0, 0}, y, z}, {[3]float64{90, 90, 0}, y, x},
	} {
		m := turned(c.angles, [3]float64{})
		assert.Equal(t, c.to, m.apply(c.from), "%v: quarter turns are exact", c.angles)
		assert.Equal(t, 1.0, m.volume())
	}
	m := turned([3]float64{0, 0, 30}, [3]float64{1, 2, 3})
	got := m.apply(x)
	assert.InDelta(t, 1+math.Sqrt(3)/2, got[0], 1e-6)
	assert.InDelta(t, 2.5, got[1], 1e-6)
	assert.InDelta(t, 3, got[2], 1e-6)
}

func TestChunksKeepEverythingInOrder(t *testing.T) {
	var c chunks[int]
	for i := range 3*chunkSize + 5 {
		require.Equal(t, i, c.len())
		c.add(i)
		require.Equal(t, i, *c.at(i))
		require.Zero(t, *c.at(0))
	}
	for i := range c.len() {
		require.Equal(t, i, *c.at(i))
	}
}

func TestDistinctNames(t *testing.T) {
	assert.Equal(t, []string{"a", "b", "a (3)", "a (2)", "a (4)", ""}, distinct([]string{"a", "b", "a", "a (2)", "a", ""}))
	assert.Equal(t, []string{"x", "x (2)", "x (2) (2)"}, distinct([]string{"x", "x (2)", "x (2)"}))
	seen := map[string]bool{}
	for _, n := range distinct([]string{"a", "a (2)", "a", "a (2)", "a (3)", "a", "a (2) (2)"}) {
		assert.False(t, seen[n], n)
		seen[n] = true
	}
}
