package rules_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// A knuckle of a hinge that is printed in place hangs half a millimetre above the one that turns
// in it: what sags comes to lie there. With nothing close below it, it does not print.
func TestHingesPrintedInPlace(t *testing.T) {
	box := func(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
		return shapes.Box(shapes.Vec{X: x0, Y: y0, Z: z0}, shapes.Vec{X: x1, Y: y1, Z: z1})
	}
	hinge := func(reach, gap float64) *mesh.Triangles {
		return shapes.Join(box(0, 0, 0, 5, 10, 10), box(4, 0, 5, 5+reach, 10, 10), box(6, 0, 0, 30, 10, 5-gap))
	}
	for _, reach := range []float64{6, 12} {
		assert.Equal(t, []string{"rough-underside"}, found(t, "overhang", hinge(reach, .5)))
		assert.Contains(t, found(t, "overhang", hinge(reach, 1.5)), "max-overhang-angle")
	}
}
