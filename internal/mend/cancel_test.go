package mend

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

func block(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return shapes.Box(shapes.Vec{X: x0, Y: y0, Z: z0}, shapes.Vec{X: x1, Y: y1, Z: z1})
}

// TestCancelled holds which bodies leave it open what is solid: those wound inside out
// that touch others, and those that vanish with a copy of themselves.
func TestCancelled(t *testing.T) {
	cube := shapes.Cube(20)
	inner := block(5, 5, 5, 15, 15, 15)
	post, beam, other := block(0, 0, 0, 10, 10, 30), block(0, 0, 30, 40, 10, 40), block(30, 0, 0, 40, 10, 30)
	for _, c := range []struct {
		name      string
		triangles *mesh.Triangles
		some      bool
	}{
		{"a body and its own copy inside out", shapes.Join(cube, shapes.Flip(cube)), true},
		{"the same beside another", shapes.Join(cube, shapes.Move(shapes.Join(cube, shapes.Flip(cube)), shapes.Vec{X: 30})), true},
		{"a copy with other triangles", shapes.Join(cube, shapes.Split4(shapes.Flip(cube))), true},
		{"an inverted arm out of a body", shapes.Join(cube, shapes.Flip(block(10, 5, 5, 40, 15, 15))), true},
		{"an inverted block that sticks out a little", shapes.Join(cube, shapes.Flip(block(5, 5, 5, 21, 15, 15))), true},
		{"an inverted post under a beam", shapes.Join(shapes.Flip(post), beam, other), true},
		{"an inverted post into a beam", shapes.Join(shapes.Flip(block(0, 0, 0, 10, 10, 31)), beam, other), true},

		{"a hollow", shapes.Join(cube, shapes.Flip(inner)), false},
		{"a hollow filled by another body", shapes.Join(cube, shapes.Flip(inner), inner), false},
		{"an inverted body by itself", shapes.Flip(cube), false},
		{"an inverted body apart from another", shapes.Join(cube, shapes.Flip(shapes.Move(cube, shapes.Vec{X: 30}))), false},
		{"everything inverted", shapes.Flip(shapes.Join(post, beam, other)), false},
		{"everything inverted, overlapping", shapes.Flip(shapes.Join(block(0, 0, 0, 10, 10, 31), beam, other)), false},
		{"a hollow body inverted", shapes.Flip(shapes.HollowBox(20, 2)), false},
		{"two bodies that touch", shapes.Join(cube, shapes.Move(cube, shapes.Vec{X: 20})), false},
		{"everything twice", shapes.Join(cube, cube), false},
		{"a sheet without thickness", shapes.Join(cube, sheet(30, 0, 5, 10), shapes.Flip(sheet(30, 0, 5, 10))), false},
		{"a hole", without(cube, level(20)), false},
	} {
		m := mesh.Weld(c.triangles)
		topo := m.Topology()
		out, err := Mend(work.Of(context.Background()), m, topo, func() (*spatial.Tree, error) { return spatial.Build(m, topo.Spare, 1) })
		assert.NoError(t, err)
		assert.Equal(t, c.some, out.Cancelled > 0, c.name)
	}
}

// TestMendingStopsAtTheLimit, wherever it is.
func TestMendingStopsAtTheLimit(t *testing.T) {
	m := mesh.Weld(shapes.DropTriangles(shapes.Torus(20, 8, 60, 30), 300, 1))
	topo := m.Topology()
	for limit := time.Microsecond; ; limit *= 3 {
		out, err := Mend(work.Of(work.Start(context.Background(), limit)), m, topo, nil)
		if err == nil {
			assert.Positive(t, out.Holes)
			break
		}
		assert.ErrorIs(t, err, work.ErrLimit)
		assert.Nil(t, out)
	}
}
