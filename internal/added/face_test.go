package added_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/added"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

// looking is a triangle whose middle is nearest to a place, of those that look some way.
func looking(t *testing.T, m *mesh.Mesh, to, near mesh.Vec) uint32 {
	t.Helper()
	best, at := math.Inf(1), mesh.None
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		if d := a.Add(b).Add(c).Scale(1. / 3).Sub(near).Len(); m.Normal(i).Unit().Dot(to) > 0.99 && d < best {
			best, at = d, uint32(i)
		}
	}
	require.NotEqual(t, mesh.None, at)
	return at
}

// finOnPlate is a fin 40 mm long and 20 mm high, of a thickness, on a plate 2 mm thick.
func finOnPlate(thick float64) *mesh.Mesh {
	return mesh.Weld(shapes.ExtrudeY(shapes.Polygon{{0, 0}, {30, 0}, {30, 2}, {15 + thick, 2}, {15 + thick, 22}, {15, 22}, {15, 2}, {0, 2}}, 0, 40))
}

// TestAFaceGrowsByWhatIsSaid: the side of a fin that is 0.5 mm farther out is 0.5 mm of material
// on 20 by 40 mm. It reaches into the fin and into the plate, and nowhere past the ends.
func TestAFaceGrowsByWhatIsSaid(t *testing.T) {
	m := finOnPlate(0.3)
	left, right := mesh.Vec{X: -1}, mesh.Vec{X: 1}
	far := looking(t, m, right, mesh.Vec{X: 15.3, Y: 20, Z: 12})
	f := added.FaceAt(m, m.Topology(), looking(t, m, left, mesh.Vec{X: 15, Y: 20, Z: 12}), far, m.Box(), nil)
	require.NotNil(t, f)
	assert.InDelta(t, 800, f.Area, 1e-6)
	to, flat, _ := f.Side()
	assert.True(t, flat)
	assert.InDelta(t, -1, to.X, 1e-9)
	solid, volume := f.Grown(0.5)
	assert.InDelta(t, 400, volume, 1e-3)
	assert.InDelta(t, 0.52*40*20.02, volumeOf(t, solid), 1.5)
	box := mesh.Weld(solid).Box()
	assert.InDelta(t, 14.5, box.Min.X, 1e-5)
	assert.InDelta(t, 15.02, box.Max.X, 1e-5)
	assert.Less(t, box.Min.Z, 2-0.01)
	assert.InDelta(t, 22, box.Max.Z, 1e-5)
	assert.InDelta(t, 0, box.Min.Y, 1e-5)
	assert.InDelta(t, 40, box.Max.Y, 1e-5)
}

// TestARoundFaceGrows: that of a tube of 24 sides becomes that of a wider one, in and out.
func TestARoundFaceGrows(t *testing.T) {
	m := mesh.Weld(shapes.Tube(10, 9.7, 20, 24))
	area := func(r float64) float64 { return 24 * r * r / 2 * math.Sin(2*math.Pi/24) }
	side := func(r float64) uint32 {
		best, at := 0.0, uint32(0)
		for i := range m.Tris {
			a, b, c := m.Corners(i)
			if l := math.Hypot(a.X, a.Y); math.Abs(l-r) < 1e-4 && math.Abs(math.Hypot(b.X, b.Y)-r) < 1e-4 && math.Abs(math.Hypot(c.X, c.Y)-r) < 1e-4 && l > best {
				best, at = l, uint32(i)
			}
		}
		return at
	}
	out, in := side(10), side(9.7)
	shift := 0.5 / math.Cos(math.Pi/24) // of the corners, where the faces move by 0.5 mm
	f := added.FaceAt(m, m.Topology(), out, in, m.Box(), nil)
	require.NotNil(t, f)
	_, flat, outer := f.Side()
	assert.False(t, flat)
	assert.True(t, outer)
	solid, volume := f.Grown(0.5)
	assert.InDelta(t, 20*(area(10+shift)-area(10)), volume, 0.01)
	assert.Greater(t, volumeOf(t, solid), volume)
	f = added.FaceAt(m, m.Topology(), in, out, m.Box(), nil)
	_, _, outer = f.Side()
	assert.False(t, outer)
	solid, volume = f.Grown(0.5)
	assert.InDelta(t, 20*(area(9.7)-area(9.7-shift)), volume, 0.01)
	assert.Greater(t, volumeOf(t, solid), volume)
}

// TestAFaceGoesRoundCorners as far as triangles are named: all walls of a box move out, and
// leave no slit in its corners.
func TestAFaceGoesRoundCorners(t *testing.T) {
	m := mesh.Weld(shapes.Cube(20))
	var walls []uint32
	for i := range m.Tris {
		if math.Abs(m.Normal(i).Unit().Z) < 0.1 {
			walls = append(walls, uint32(i))
		}
	}
	f := added.FaceAt(m, m.Topology(), walls[0], mesh.None, m.Box(), walls)
	require.NotNil(t, f)
	assert.InDelta(t, 4*400, f.Area, 1e-6)
	solid, volume := f.Grown(0.5)
	assert.InDelta(t, 20*(21*21-20*20), volume, 1e-3)
	volumeOf(t, solid)
	_, flat, outer := f.Side()
	assert.Equal(t, []bool{false, true}, []bool{flat, outer})
	assert.Len(t, f.Moves(0.5), 8)
}

// TestAFaceEndsWhereItComesRound: of a wall with a round rim both sides are one smooth surface, and
// the face is one side. What is bent too much to grow so far does not.
func TestAFaceEndsWhereItComesRound(t *testing.T) {
	rim := shapes.Polygon{{0, 0}, {0.4, 0}}
	for k := range 13 {
		s, c := math.Sincos(math.Pi * float64(k) / 12)
		rim = append(rim, [2]float64{0.2 + 0.2*c, 10 + 0.2*s})
	}
	m := mesh.Weld(shapes.ExtrudeY(rim, 0, 30))
	topology := m.Topology()
	right, left := looking(t, m, mesh.Vec{X: 1}, mesh.Vec{X: 0.4, Y: 15, Z: 5}), looking(t, m, mesh.Vec{X: -1}, mesh.Vec{Y: 15, Z: 5})
	f := added.FaceAt(m, topology, right, left, m.Box(), nil)
	require.NotNil(t, f)
	assert.False(t, f.Has(left))
	assert.InDelta(t, 300, f.Area, 8)
	solid, _ := f.Grown(0.4)
	volumeOf(t, solid)
	groove := mesh.Weld(shapes.Tube(2, 0.3, 10, 24))
	hole := added.FaceAt(groove, groove.Topology(), looking(t, groove, groove.Normal(insideOf(groove)).Unit(), mesh.Vec{X: 0.3, Z: 5}), mesh.None, groove.Box(), nil)
	require.NotNil(t, hole)
	solid, _ = hole.Grown(0.5)
	assert.Nil(t, solid)
}

// insideOf is a triangle that looks at the axis.
func insideOf(m *mesh.Mesh) int {
	for i := range m.Tris {
		a, _, _ := m.Corners(i)
		if n := m.Normal(i).Unit(); n.Dot(mesh.Vec{X: a.X, Y: a.Y}) < 0 && math.Abs(n.Z) < 0.1 {
			return i
		}
	}
	return 0
}

// TestRandomFacesGrow: whatever way a fin is turned and cut finely, the solid is closed and holds
// what the face times the thickness does.
func TestRandomFacesGrow(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	for range 40 {
		thick, by := 0.1+0.5*rng.Float64(), 0.1+rng.Float64()
		length, high := 5+30*rng.Float64(), 5+20*rng.Float64()
		s := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {30, 0}, {30, 2}, {15 + thick, 2}, {15 + thick, 2 + high}, {15, 2 + high}, {15, 2}, {0, 2}}, 0, length)
		seen := mesh.Vec{X: 15, Y: length / 2, Z: 2 + high/2}
		for range rng.IntN(3) {
			s = shapes.Split4(s)
		}
		flat := mesh.Weld(s)
		i := looking(t, flat, mesh.Vec{X: -1}, seen)
		m := mesh.Weld(shapes.Turn(shapes.Turn(s, shapes.X, 360*rng.Float64()), shapes.Y, 360*rng.Float64()))
		f := added.FaceAt(m, m.Topology(), i, mesh.None, m.Box(), nil)
		require.NotNil(t, f)
		solid, volume := f.Grown(by)
		require.NotNil(t, solid)
		assert.InDelta(t, length*high*by, volume, 0.01*volume)
		assert.InDelta(t, length*high*(by+0.02), volumeOf(t, solid), 0.05*volume+0.1*(length+high))
	}
}

// TestAFaceSeesWhatIsBeside: a wall 1 mm beside it, however small the part of it that is opposite, and
// not the plate that it stands on, nor what looks away.
func TestAFaceSeesWhatIsBeside(t *testing.T) {
	for name, c := range map[string]struct {
		beside *mesh.Triangles
		within float64
		want   bool
	}{
		"nothing":   {shapes.Join(), 5, false},
		"far":       {shapes.Box(mesh.Vec{X: 16.3, Y: 5, Z: 3}, mesh.Vec{X: 18, Y: 30, Z: 20}), 0.99, false},
		"near":      {shapes.Box(mesh.Vec{X: 16.3, Y: 5, Z: 3}, mesh.Vec{X: 18, Y: 30, Z: 20}), 1.01, true},
		"small":     {shapes.Box(mesh.Vec{X: 16.3, Y: 5, Z: 3}, mesh.Vec{X: 18, Y: 6.5, Z: 4.5}), 1.01, true},
		"far side":  {shapes.Box(mesh.Vec{X: 10, Y: 5, Z: 3}, mesh.Vec{X: 14, Y: 30, Z: 20}), 5, false},
		"around it": {shapes.Box(mesh.Vec{X: 14, Y: 5, Z: 3}, mesh.Vec{X: 16, Y: 30, Z: 20}), 1, false},
	} {
		fin := finOnPlate(0.3)
		i := looking(t, fin, mesh.Vec{X: 1}, mesh.Vec{X: 15.3, Y: 20, Z: 12})
		fin.Append(mesh.Weld(c.beside))
		f := added.FaceAt(fin, fin.Topology(), i, mesh.None, fin.Box(), nil)
		require.NotNil(t, f)
		tree, err := spatial.Build(fin, nil, 1)
		require.NoError(t, err)
		q := &spatial.Query{Tree: tree}
		assert.Equal(t, c.want, f.Blocked(q, c.within), name)
		assert.False(t, f.Encloses(q), name)
		assert.Positive(t, q.Cost)
	}
}

// TestAFaceGoesAroundAHole of up to 20 mm, not around a wider room.
func TestAFaceGoesAroundAHole(t *testing.T) {
	for wide, want := range map[float64]bool{6: true, 19: true, 21: false} {
		m := mesh.Weld(shapes.Tube(wide/2+3, wide/2, 10, 48))
		tree, err := spatial.Build(m, nil, 1)
		require.NoError(t, err)
		f := added.FaceAt(m, m.Topology(), uint32(insideOf(m)), mesh.None, m.Box(), nil)
		require.NotNil(t, f)
		assert.Equal(t, want, f.Encloses(&spatial.Query{Tree: tree}), wide)
	}
}
