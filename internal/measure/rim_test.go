package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// bored is a block 20 x 20 x 10 with a hole of one radius from below up to 4 mm and of another
// from there on up; what closes it lies between.
func bored(wide, narrow float64, between ...*mesh.Triangles) *mesh.Triangles {
	outline := shapes.Rect(-10, -10, 10, 10)
	bottom := shapes.Prism(outline, 0, 4, shapes.Ring(0, 0, wide, 64))
	top := shapes.Prism(outline, 4, 10, shapes.Ring(0, 0, narrow, 64))
	return shapes.Join(append(between, bottom, top)...)
}

func TestRimsOfHoles(t *testing.T) {
	for _, c := range []struct {
		name  string
		soup  *mesh.Triangles
		sites int
	}{
		{"counterbore from below", bored(4, 1.7), 1},
		{"counterbore from above", shapes.Turn(bored(4, 1.7), shapes.X, 180), 0},
		{"plain hole", bored(3, 3), 0},
		{"closed by a thin layer", bored(4, 1.7, shapes.Prism(shapes.Ring(0, 0, 4.2, 64), 4, 4.2)), 0},
		{"a ledge of less than a line", bored(2, 1.7), 0},
		{"a wider recess above the rim", shapes.Join(bored(4, 1.7), shapes.Prism(shapes.Rect(-10, -10, 10, 10), 10, 14, shapes.Ring(0, 0, 4, 64))), 1},
		{"a cone of 45 deg from below", shapes.Revolve(shapes.Polygon{{1.7, 3.3}, {5, 0}, {10, 0}, {10, 8}, {1.7, 8}}, 64), 0},
		{"a lid with two holes", shapes.Join(
			shapes.Prism(shapes.Rect(0, 0, 40, 20), 0, 10, shapes.Rect(2, 2, 38, 18)),
			shapes.Prism(shapes.Rect(0, 0, 40, 20), 10, 12, shapes.Ring(12, 10, 2, 48), shapes.Ring(28, 10, 2, 48))), 2},
		{"a slot open to the side", shapes.Join(
			shapes.Prism(shapes.Rect(0, 0, 30, 20), 0, 10, shapes.Rect(2, 2, 28, 18)),
			shapes.Prism(shapes.Polygon{{0, 0}, {30, 0}, {30, 20}, {16, 20}, {16, 8}, {14, 8}, {14, 20}, {0, 20}}, 10, 12)), 0},
	} {
		for _, v := range variants {
			r := take(t, v.change(c.soup), "rim")
			assert.Len(t, r.Sites, c.sites, "%s, %s", c.name, v.name)
		}
	}
}

func TestRimValues(t *testing.T) {
	for _, v := range variants {
		r := take(t, v.change(bored(4, 1.7)), "rim")
		require.Len(t, r.Sites, 1, v.name)
		for name, want := range map[string]float64{"width": 3.4, "area": 9.06, "reach": 2.3, "z": 4, "drop": 4, "share": 1} {
			assert.InDelta(t, want, value(t, "rim", r.Sites[0], name), .25, "%s, %s", name, v.name)
		}
	}
}
