package alike

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func vec(x, y, z float64) mesh.Vec { return mesh.Vec{X: x, Y: y, Z: z} }

// solids are shapes with no symmetry, with some, and with all of it.
func solids() map[string]*mesh.Triangles {
	hand := shapes.Join(shapes.Box(vec(0, 0, 0), vec(30, 10, 4)), shapes.Box(vec(0, 0, 4), vec(6, 10, 20)), shapes.Box(vec(20, 0, 4), vec(23, 3, 9)))
	cross := shapes.Join(shapes.Box(vec(-20, -3, 0), vec(20, 3, 5)), shapes.Box(vec(-3, -20, 0), vec(3, 20, 5)))
	return map[string]*mesh.Triangles{
		"hand": hand, "cube": shapes.Cube(10), "cross": cross, "ball": shapes.NoisyBall(10, 1, 2, 5), "t": shapes.T(),
	}
}

func compare(t *testing.T, was, now *mesh.Triangles) Result {
	t.Helper()
	r, err := Compare(context.Background(), mesh.Weld(was), mesh.Weld(now), 1)
	require.NoError(t, err)
	return r
}

func TestTheSameShapeIsKnownHoweverItIsExported(t *testing.T) {
	for name, s := range solids() {
		for what, now := range map[string]*mesh.Triangles{
			"as it was": s, "in other order": shapes.Shuffle(s, 7), "rounded": shapes.Round(s, 0.001),
		} {
			r := compare(t, s, now)
			require.True(t, r.Same, "%s, %s", name, what)
			assert.Zero(t, r.Points, "%s, %s: corner by corner", name, what)
			assert.Equal(t, asItLies, r.Placement, "%s, %s", name, what)
			assert.LessOrEqual(t, r.Within, 0.001)
			assert.Zero(t, r.Inverted)
		}
		r := compare(t, s, shapes.Split4(s))
		assert.True(t, r.Same, "%s, each triangle in four", name)
		assert.Positive(t, r.Points)
		assert.Less(t, r.Within, 1e-4)
		assert.Equal(t, 1.0, r.Factor)
	}
}

func TestMovedTurnedMirroredAndScaled(t *testing.T) {
	for name, s := range solids() {
		moved := shapes.Move(s, vec(31.5, -7.25, 4))
		r := compare(t, s, moved)
		require.True(t, r.Same, name)
		assert.Equal(t, mesh.Identity, r.M, name)
		assert.InDelta(t, 0, r.Shift.Sub(vec(31.5, -7.25, 4)).Len(), 1e-4, name)
		for _, deg := range []float64{90, 180, 37, 3.5} {
			for _, axis := range []mesh.Vec{shapes.X, shapes.Z, vec(1, 2, 3)} {
				label := fmt.Sprintf("%s, %g about %v", name, deg, axis)
				turned := shapes.Shuffle(shapes.Move(shapes.Turn(s, axis, deg), vec(5, 6, 7)), 3)
				r := compare(t, s, turned)
				if !assert.True(t, r.Same, label) {
					continue
				}
				assert.False(t, r.Mirrors(), label)
				assert.Equal(t, 1.0, r.Factor, label)
				places(t, label, r, s, turned)
			}
		}
		for _, k := range []float64{25.4, 1 / 25.4, 10, 0.001, 1.02, 0.9} {
			label := fmt.Sprintf("%s, times %g", name, k)
			scaled := shapes.Shuffle(shapes.Scale(s, k), 5)
			r := compare(t, s, scaled)
			if !assert.True(t, r.Same, label) {
				continue
			}
			assert.InEpsilon(t, k, r.Factor, 1e-5, label)
			places(t, label, r, s, scaled)
			_, unit := Unit(r.Factor)
			assert.Equal(t, k != 1.02 && k != 0.9, unit, label)
		}
	}
	hand := solids()["hand"]
	r := compare(t, hand, shapes.Mirror(hand))
	assert.True(t, r.Same && r.Mirrors())
	r = compare(t, hand, shapes.Scale(shapes.Turn(shapes.Mirror(hand), vec(3, 1, 2), 77), 25.4))
	assert.True(t, r.Same && r.Mirrors())
	assert.Equal(t, 25.4, r.Factor)
	cross := solids()["cross"]
	r = compare(t, cross, shapes.Mirror(cross))
	assert.True(t, r.Same && !r.Mirrors(), "its mirror image is itself")
}

// places holds that the placement brings the corners of one shape onto the other.
func places(t *testing.T, label string, r Result, was, now *mesh.Triangles) {
	t.Helper()
	c := cornersOf(mesh.Weld(now), 0.002)
	for _, p := range was.Corners {
		_, ok := c.find(r.To(mesh.Of64(p)), 0.01)
		require.True(t, ok, label)
	}
}

func TestInsideOutIsTold(t *testing.T) {
	for name, s := range solids() {
		if name == "ball" {
			continue
		}
		r := compare(t, s, shapes.Flip(s))
		require.True(t, r.Same, name)
		assert.Equal(t, s.Count(), r.Inverted, name)
	}
}

func TestAnotherShapeIsNotTheSame(t *testing.T) {
	hand := solids()["hand"]
	peg := shapes.Join(hand, shapes.Box(vec(10, 4, 4), vec(12, 6, 6)))
	r := compare(t, hand, shapes.Move(peg, vec(100, 50, 0)))
	assert.False(t, r.Same)
	assert.Equal(t, vec(100, 50, 0), r.Shift, "where most corners are as before")
	assert.InDelta(t, 2, r.Within, 1e-5)
	assert.Positive(t, r.Points)
	nudged := shapes.Map(hand, func(p mesh.Vec) mesh.Vec {
		if p.Z > 15 {
			p.Z += 0.1
		}
		return p
	})
	r = compare(t, hand, nudged)
	assert.False(t, r.Same, "a tenth of a mm is a change")
	assert.InDelta(t, 0.1, r.Within, 1e-4)
	for name, now := range map[string]*mesh.Triangles{
		"stretched": shapes.Map(hand, func(p mesh.Vec) mesh.Vec { p.X *= 1.1; return p }), "cube": shapes.Cube(10), "dot": {Corners: make([]mesh.Point, 3)},
	} {
		r := compare(t, hand, now)
		assert.False(t, r.Same, name)
		assert.False(t, math.IsNaN(r.Within), name)
		r = compare(t, now, hand)
		assert.False(t, r.Same, name)
	}
}

// TestRoundSurfacesInOtherTriangles holds that a finer ball is told by how far it lies off.
func TestRoundSurfacesInOtherTriangles(t *testing.T) {
	coarse, fine := shapes.NoisyBall(10, 0, 5, 1), shapes.NoisyBall(10, 0, 6, 1)
	r := compare(t, coarse, fine)
	require.True(t, r.Same)
	assert.Equal(t, 1.0, r.Factor)
	assert.InDelta(t, 0.01, r.Within, 0.01)
	assert.Positive(t, r.Within)
	r = compare(t, shapes.NoisyBall(10, 0, 2, 1), fine)
	assert.False(t, r.Same, "too coarse to be told of as one")
}

// TestPlacesOfAChange holds what was added, bared and removed where a block went from one
// side to the other and a pocket was cut.
func TestPlacesOfAChange(t *testing.T) {
	plate := shapes.Box(vec(0, 0, 0), vec(40, 20, 10))
	was := shapes.Join(plate, shapes.Box(vec(2, 2, 10.2), vec(6, 6, 14)))
	now := shapes.Join(shapes.Box(vec(0, 0, 0), vec(40, 20, 6)), shapes.Box(vec(30, 2, 10.2), vec(36, 6, 16)))
	d, err := Differ(context.Background(), mesh.Weld(was), mesh.Weld(now), asItLies, 1)
	require.NoError(t, err)
	of := func(m *mesh.Mesh, ask func(int, mesh.Vec) Part, p mesh.Vec) Part {
		for i := range m.Tris {
			a, b, c := m.Corners(i)
			n := m.Normal(i).Unit()
			box := mesh.EmptyBox()
			box.Include(a)
			box.Include(b)
			box.Include(c)
			if box.Contains(p, 1e-6) && math.Abs(n.Dot(p.Sub(a))) < 1e-6 {
				return ask(i, p)
			}
		}
		t.Fatalf("no triangle at %v", p)
		return Kept
	}
	assert.Equal(t, Outside, of(d.Was, d.OfWas, vec(4, 4, 14)), "the block went")
	assert.Equal(t, Outside, of(d.Now, d.OfNow, vec(33, 4, 16)), "to there")
	assert.Equal(t, Inside, of(d.Now, d.OfNow, vec(20, 10, 6)), "the plate became thinner")
	assert.Equal(t, Outside, of(d.Was, d.OfWas, vec(20, 10, 10)))
	assert.Equal(t, Kept, of(d.Now, d.OfNow, vec(20, 10, 0)))
	assert.Equal(t, Kept, of(d.Was, d.OfWas, vec(20, 0, 3)))
}

func TestSharedCorners(t *testing.T) {
	hand := solids()["hand"]
	assert.Equal(t, 1.0, Shared(mesh.Weld(hand), mesh.Weld(shapes.Move(hand, vec(7, 3, 1)))))
	edited := shapes.Join(hand, shapes.Box(vec(10, 4, 4), vec(12, 6, 6)))
	assert.InDelta(t, 22.0/30, Shared(mesh.Weld(hand), mesh.Weld(edited)), 0.01)
	assert.Less(t, Shared(mesh.Weld(hand), mesh.Weld(shapes.NoisyBall(10, 1, 3, 1))), 0.1)
	assert.Zero(t, Shared(&mesh.Mesh{}, mesh.Weld(hand)))
}

// TestDenseSurfaces holds that a small thing on a surface of many triangles is no part of
// what sampling may miss, and that a lump of hardly any direction is known when it is turned.
func TestDenseSurfaces(t *testing.T) {
	ball := shapes.NoisyBall(50, 0, 6, 1)
	peg := shapes.Join(ball, shapes.Box(vec(49, 0, 0), vec(53, 0.4, 0.4)))
	r := compare(t, ball, peg)
	assert.False(t, r.Same)
	assert.InDelta(t, 3, r.Within, 0.3)
	r = compare(t, peg, ball)
	assert.False(t, r.Same)
	lump := shapes.NoisyBall(50, 1, 6, 1)
	r = compare(t, lump, shapes.Turn(shapes.Shuffle(lump, 2), vec(1, 2, 3), 33))
	assert.True(t, r.Same && !r.Mirrors())
	assert.Zero(t, r.Points)
	r = compare(t, lump, shapes.Turn(shapes.Mirror(lump), vec(1, 2, 3), 33))
	assert.True(t, r.Same && r.Mirrors())
}
