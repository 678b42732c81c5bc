package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func TestGapsOfExactShapes(t *testing.T) {
	slot := take(t, shapes.Slot(.2), "gap")
	require.Len(t, slot.Sites, 1)
	s := slot.Sites[0]
	assert.Equal(t, .2, value(t, "gap", s, "gap"))
	assert.InEpsilon(t, 400, value(t, "gap", s, "area"), .05)
	assert.Equal(t, 1., value(t, "gap", s, "upright"))
	assert.Equal(t, 0., value(t, "gap", s, "bodies"), "one body with a slot in it")
	assert.Equal(t, []float64{.2}, slot.Model[:1])

	slabs := shapes.Join(shapes.Slab(3), shapes.Move(shapes.Slab(3), shapes.Vec{Z: 3.15}))
	level := take(t, slabs, "gap")
	require.Len(t, level.Sites, 1)
	assert.Equal(t, .15, value(t, "gap", level.Sites[0], "gap"))
	assert.InEpsilon(t, 2500, value(t, "gap", level.Sites[0], "area"), .05)
	assert.Equal(t, 0., value(t, "gap", level.Sites[0], "upright"))
	assert.Equal(t, 1., value(t, "gap", level.Sites[0], "bodies"))

	// A pin that is to turn in a sleeve: the facets of both stand .25 cos(pi/48) apart.
	pin := take(t, shapes.Join(shapes.Tube(10, 5, 20, 48), shapes.Cylinder(4.75, 25, 48)), "gap")
	require.Len(t, pin.Sites, 1)
	assert.InDelta(t, .2495, pin.Model[0], 2e-4)
	assert.Equal(t, 1., value(t, "gap", pin.Sites[0], "bodies"))

	cavity := take(t, shapes.Join(box(0, 0, 0, 20, 20, 5), shapes.Flip(box(3, 3, 2, 17, 17, 2.1))), "gap")
	require.Len(t, cavity.Sites, 1)
	assert.Equal(t, .1, value(t, "gap", cavity.Sites[0], "gap"))
}

func TestShapesWithoutGap(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"cube": shapes.Cube(20), "thin slab": shapes.Slab(.1), "fin": shapes.Fin(.2), "wide slot": shapes.Slot(.3),
		"bodies face to face":           shapes.Join(shapes.Cube(10), shapes.Move(shapes.Cube(10), shapes.Vec{X: 10})),
		"bodies that overlap":           shapes.Join(shapes.Cube(10), shapes.Move(shapes.Cube(10), shapes.Vec{X: 9.9})),
		"a body in a body":              shapes.Join(shapes.Cube(10), box(.1, .1, .1, 9.9, 9.9, 9.9)),
		"a slot filled by another body": shapes.Join(shapes.Slot(.2), box(19, -1, -1, 22, 21, 24)),
		"thread":                        shapes.ThreadedRod(5, 1, 8, 48),
	} {
		r := take(t, soup, "gap")
		assert.Empty(t, r.Sites, name)
		assert.Equal(t, []float64{.3, 0}, r.Model, name)
	}
}

// A crevice of one body that closes to nothing is drawn to be one piece; bodies that
// touch at one end of a gap can still be meant to move.
func TestGapsThatClose(t *testing.T) {
	crevice := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {30, 0}, {30, 20}, {15.08, 20}, {15.025, 10}, {15.004, 2}, {15, 2}, {15, 20}, {0, 20}}, 0, 20)
	assert.Empty(t, take(t, crevice, "gap").Sites)
	askew := shapes.ExtrudeY(shapes.Polygon{{15.005, 0}, {30, 0}, {30, 20}, {15.105, 20}}, 0, 20)
	lid := take(t, shapes.Join(box(0, 0, 0, 15, 20, 20), askew), "gap")
	require.Len(t, lid.Sites, 1)
	assert.Equal(t, 1., value(t, "gap", lid.Sites[0], "bodies"))
	assert.InDelta(t, .02, value(t, "gap", lid.Sites[0], "gap"), .003, "the least that is no touching")
}

func TestNotchIsSharp(t *testing.T) {
	notched := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {30, 0}, {30, 20}, {17, 20}, {15, 5}, {13, 20}, {0, 20}}, 0, 20)
	r := take(t, notched, "gap")
	require.Len(t, r.Sites, 1)
	assert.Equal(t, 1., value(t, "gap", r.Sites[0], "sharp"))
	assert.Equal(t, .3, r.Model[0])
}

// Material and air change places when a body is cut out of a block.
func TestGapsAreWallsOfTheRest(t *testing.T) {
	fin := shapes.Join(box(0, 0, 0, 30, 20, 3), box(14.9, 0, 2, 15.1, 20, 18))
	wall := take(t, fin, "wall", .3)
	rest := take(t, shapes.Join(box(-10, -10, -10, 40, 30, 30), shapes.Flip(box(14.9, 0, 2, 15.1, 20, 18))), "gap", .3)
	require.Len(t, wall.Sites, 1)
	require.Len(t, rest.Sites, 1)
	assert.Equal(t, value(t, "wall", wall.Sites[0], "thickness"), value(t, "gap", rest.Sites[0], "gap"))
}
