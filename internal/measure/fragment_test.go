package measure

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// cube20 is the part that fragments lie beside; a hundredth of it are 80 mm3.
func cube20() *mesh.Triangles { return shapes.Cube(20) }

func TestFragments(t *testing.T) {
	flake := box(25, 5, 0, 26, 6, .2)
	for _, c := range []struct {
		name  string
		soup  *mesh.Triangles
		sites int
	}{
		{"nothing but one body", cube20(), 0},
		{"a flake beside it on the bed", shapes.Join(cube20(), flake), 1},
		{"a flake in the air", shapes.Join(cube20(), box(25, 5, 7, 26, 5.9, 7.1)), 1},
		{"a flake over a sloping face", shapes.Join(shapes.Turn(cube20(), shapes.Y, 45), box(0, 5, 29, 1, 6, 29.2)), 1},
		{"just as far away as what touches", shapes.Join(cube20(), box(20.019, 5, 0, 21, 6, .2)), 0},
		{"a little farther", shapes.Join(cube20(), box(20.03, 5, 0, 21, 6, .2)), 1},
		{"a letter that stands on it", shapes.Join(cube20(), box(5, 5, 20, 6, 9, 20.4)), 0},
		{"a letter sunk into it", shapes.Join(cube20(), box(5, 5, 19.5, 6, 9, 20.4)), 0},
		{"a letter wholly inside", shapes.Join(cube20(), box(5, 5, 19, 6, 9, 19.5)), 0},
		{"a rod right through it", shapes.Join(cube20(), box(-3, 9, 9, 23, 9.4, 9.4)), 0},
		{"a sheet that rests on one corner of it", shapes.Join(cube20(), box(19.5, 19.5, 20, 30, 30, 20.1)), 0},
		{"a flake turned inside out", shapes.Join(cube20(), shapes.Flip(flake)), 1},
		{"a hollow", shapes.Join(cube20(), shapes.Flip(box(5, 5, 5, 6, 6, 6))), 0},
		{"a crumb loose in a hollow", shapes.Join(cube20(), shapes.Flip(box(5, 5, 5, 9, 9, 9)), box(6, 6, 6, 7, 7, 7)), 1},
		{"two flakes apart", shapes.Join(cube20(), flake, shapes.Move(flake, mesh.Vec{Y: 3})), 2},
		{"two flakes that touch", shapes.Join(cube20(), flake, shapes.Move(flake, mesh.Vec{X: 1})), 1},
		{"a chain of flakes that ends at the block", shapes.Join(cube20(), box(22, 5, 0, 23, 6, .2), box(21, 5, 0, 22, 6, .2), box(20, 5, 0, 21, 6, .2)), 0},
		{"pieces of like size", shapes.Join(shapes.Cube(2), shapes.Move(shapes.Cube(1.5), mesh.Vec{X: 5}), shapes.Move(shapes.Cube(.5), mesh.Vec{X: 9})), 0},
	} {
		for _, v := range variants {
			r := take(t, v.change(c.soup), "fragment")
			assert.Len(t, r.Sites, c.sites, "%s, %s", c.name, v.name)
		}
	}
}

func TestFragmentValues(t *testing.T) {
	soup := shapes.Join(cube20(), box(25, 5, 7, 28, 5.3, 9))
	r := take(t, soup, "fragment")
	require.Len(t, r.Sites, 1)
	for name, want := range map[string]float64{"volume": 1.8, "height": 2, "width": .3, "z": 7} {
		assert.InDelta(t, want, value(t, "fragment", r.Sites[0], name), 1e-5, name)
	}
	assert.InDelta(t, 5.15, r.Sites[0].At.Y, .2)
	assert.GreaterOrEqual(t, r.Sites[0].Tris[0], uint32(12), "a triangle of the fragment is named, not of the block")
	lies := takePosed(t, soup, lying, "fragment")
	require.Len(t, lies.Sites, 1)
	assert.InDelta(t, .3, value(t, "fragment", lies.Sites[0], "height"), 1e-5)
	assert.Empty(t, take(t, soup, "fragment", 1e-4).Sites, "a smaller share")
}

// TestFragmentsThatLieOverEachOther holds that the search ends, however many small bodies
// lie in one place.
func TestFragmentsThatLieOverEachOther(t *testing.T) {
	crowd := shapes.Join(shapes.Cube(40), shapes.Move(shapes.Overlapping(3000, 1, 5), mesh.Vec{X: 60}))
	results, err := NewBody(mesh.Weld(crowd)).Measure(context.Background(), AsIs, process, Options{}, []Request{{"fragment", nil}})
	require.NoError(t, err)
	assert.True(t, results[0].Undecided != "" || len(results[0].Sites) < 3000)
}
