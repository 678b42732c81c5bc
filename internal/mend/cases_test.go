package mend

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// without leaves the triangles out for which f holds.
func without(s *mesh.Triangles, f func(a, b, c mesh.Point) bool) *mesh.Triangles {
	out := new(mesh.Triangles)
	for i := 0; i < len(s.Corners); i += 3 {
		if !f(s.Corners[i], s.Corners[i+1], s.Corners[i+2]) {
			out.Corners = append(out.Corners, s.Corners[i:i+3]...)
		}
	}
	return out
}

// level holds for triangles at one height.
func level(z float32) func(a, b, c mesh.Point) bool {
	return func(a, b, c mesh.Point) bool { return a[2] == z && b[2] == z && c[2] == z }
}

// sheet is a flat square with the given corner and side, seen from above.
func sheet(x, y, z, side float32) *mesh.Triangles {
	a, b := mesh.Point{x, y, z}, mesh.Point{x + side, y, z}
	c, d := mesh.Point{x + side, y + side, z}, mesh.Point{x, y + side, z}
	return &mesh.Triangles{Corners: []mesh.Point{a, b, c, a, c, d}}
}

func TestMendCases(t *testing.T) {
	cube := shapes.Cube(20)
	inner := sheet(0, 0, 0, 20) // between corners of the cube that lie across it
	inner.Corners[2][2], inner.Corners[4][2], inner.Corners[5][2] = 20, 20, 20
	cases := []struct {
		name      string
		triangles *mesh.Triangles
		volume    float64
		check     func(t *testing.T, a Account)
	}{
		{"cube without a lid", without(cube, level(20)), 8000, func(t *testing.T, a Account) {
			assert.InDelta(t, 400, a.Filled, 1e-6)
			assert.InDelta(t, 400, a.Capped, 1e-6)
			assert.Zero(t, a.Guessed)
		}},
		{"plate without an underside", without(shapes.Slab(2), level(0)), 5000, func(t *testing.T, a Account) {
			assert.InDelta(t, 2500, a.Capped, 1e-6)
		}},
		{"cube inside out", shapes.Flip(cube), 8000, func(t *testing.T, a Account) { assert.Equal(t, 12, a.Turned) }},
		{"cavity inside out, all of it", shapes.Flip(shapes.HollowBox(20, 2)), 8000 - 4096, func(t *testing.T, a Account) {
			assert.Equal(t, 24, a.Turned)
		}},
		{"one of two overlapping boxes inside out",
			shapes.Join(fine(shapes.Box(shapes.Vec{}, shapes.Vec{X: 10, Y: 10, Z: 10}), 1), shapes.Flip(fine(shapes.Move(shapes.Cube(10), shapes.Vec{X: 5, Y: 5, Z: 5}), 1))),
			2000, func(t *testing.T, a Account) { assert.Equal(t, 48, a.Turned) }},
		{"everything twice", shapes.Join(cube, cube), 16000, func(t *testing.T, a Account) { assert.Equal(t, Account{}, a) }},
		{"a face twice", shapes.Join(cube, &mesh.Triangles{Corners: cube.Corners[:6]}), 8000, func(t *testing.T, a Account) {
			assert.Equal(t, 2, a.Copies)
			assert.Zero(t, a.Holes)
		}},
		{"one triangle twice, the other way round", shapes.Join(cube, &mesh.Triangles{Corners: shapes.Flip(cube).Corners[:3]}), 8000,
			func(t *testing.T, a Account) { assert.Equal(t, 2, a.Pairs); assert.Equal(t, 1, a.Holes) }},
		{"a wall across the inside, seen from one side", shapes.Join(cube, inner), 8000, func(t *testing.T, a Account) {
			assert.Equal(t, 2, a.Membranes)
			assert.Zero(t, a.Filled)
		}},
		{"a sheet without thickness beside it", shapes.Join(cube, sheet(30, 0, 5, 10), shapes.Flip(sheet(30, 0, 5, 10))), 8000,
			func(t *testing.T, a Account) { assert.Equal(t, 4, a.Pairs) }},
		{"a loose sheet beside it", shapes.Join(cube, sheet(30, 0, 5, 10)), 8000, func(t *testing.T, a Account) {
			assert.InDelta(t, 100, a.Loose, 1e-6)
		}},
		{"two halves with a seam", shapes.Join(
			without(shapes.Box(shapes.Vec{}, shapes.Vec{X: 20, Y: 20, Z: 10}), level(10)),
			without(shapes.Box(shapes.Vec{Z: 10.05}, shapes.Vec{X: 20, Y: 20, Z: 20}), level(10.05)),
		), 8000, func(t *testing.T, a Account) { assert.Equal(t, 4, a.Stitched); assert.Zero(t, a.Filled) }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, out := mended(t, c.triangles)
			assert.InDelta(t, c.volume, out.Mesh.Volume(), 1e-3*c.volume)
			c.check(t, out.Account)
		})
	}
}

// A band with half a twist has one side only, and that is said.
func TestOneSidedSurfaces(t *testing.T) {
	_, out := mended(t, band(24))
	assert.Positive(t, out.Twisted)
	_, out = mended(t, shapes.FlipTriangles(shapes.Cylinder(10, 5, 24), 40, 2))
	assert.Zero(t, out.Twisted)
}

// band is a band of n squares that comes round with half a twist.
func band(n int) *mesh.Triangles {
	at := func(i, side int) mesh.Point {
		if i == n {
			i, side = 0, 1-side
		}
		turn := shapes.Turn(shapes.Turn(&mesh.Triangles{Corners: []mesh.Point{{0, 0, float32(2*side - 1)}}}, shapes.Y, 180*float64(i)/float64(n)), shapes.Z, 0)
		turn = shapes.Turn(shapes.Move(turn, shapes.Vec{X: 10}), shapes.Z, 360*float64(i)/float64(n))
		return turn.Corners[0]
	}
	s := new(mesh.Triangles)
	for i := range n {
		s.Corners = append(s.Corners, at(i, 0), at(i+1, 0), at(i+1, 1), at(i, 0), at(i+1, 1), at(i, 1))
	}
	return s
}
