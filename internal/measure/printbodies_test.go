package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestBodiesThatArePrinted counts what stands apart in the end.
func TestBodiesThatArePrinted(t *testing.T) {
	box := func(x, y, z, a, b, c float64) *mesh.Triangles {
		return shapes.Box(mesh.Vec{X: x, Y: y, Z: z}, mesh.Vec{X: a, Y: b, Z: c})
	}
	for _, c := range []struct {
		name   string
		solid  *mesh.Triangles
		bodies int
	}{
		{"one", shapes.Cube(20), 1},
		{"two that overlap", shapes.Join(box(0, 0, 0, 30, 20, 20), box(10, 0, 0, 40, 20, 20)), 1},
		{"one on the other", shapes.Join(box(0, 0, 0, 20, 20, 10), box(5, 5, 10, 15, 15, 20)), 1},
		{"two apart", shapes.Join(shapes.Cube(20), shapes.Move(shapes.Cube(20), mesh.Vec{X: 60})), 2},
		{"one over the other, with air between", shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 12, 20, 20, 20)), 2},
		{"two legs that meet at the top", shapes.Join(box(0, 0, 0, 5, 5, 20), box(20, 0, 0, 25, 5, 20), box(0, 0, 18, 25, 5, 22)), 1},
		{"two arms of one foot", shapes.Join(box(0, 0, 0, 25, 5, 4), box(0, 0, 2, 5, 5, 20), box(20, 0, 2, 25, 5, 20)), 1},
		{"two legs that meet, and one that does not", shapes.Join(box(0, 0, 0, 5, 5, 20), box(20, 0, 0, 25, 5, 20), box(0, 0, 18, 25, 5, 22), box(40, 0, 0, 45, 5, 3)), 2},
	} {
		for _, v := range variants {
			assert.Equal(t, c.bodies, printOf(t, v.change(c.solid)).Bodies, "%s, %s", c.name, v.name)
		}
	}
}
