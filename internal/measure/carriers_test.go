package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// What ends one layer below carries, and so does the bed: pillars drawn a layer short of the
// eye that they hold, parts laid a little askew, blocks of support that come with the model.
func TestWhatEndsALayerBelowCarries(t *testing.T) {
	propped := func(gap float64) *mesh.Triangles {
		return shapes.Join(box(0, 0, 0, 10, 10, 26), box(9, 0, 20, 19, 10, 26), box(16, 0, 0, 19, 10, 20-gap))
	}
	ceiling := func(gap float64) *mesh.Triangles { // on its walls and on a block of support between
		return shapes.Join(shapes.Portal(90), box(10.3, 0.3, 0, 99.7, 9.7, 20-gap))
	}
	for _, c := range []struct {
		name    string
		solid   *mesh.Triangles
		reach   float64 // least reach of an overhang, 0 where none is told
		span    float64
		islands int
	}{
		{"arm with a post 0.2 below", propped(.2), 0, 6, 0},
		{"arm with a post 0.25 below", propped(.25), 0, 6, 0},
		{"arm with a post 0.5 below", propped(.5), 8.8, 0, 0},
		{"block 0.2 above another", shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 10.2, 20, 20, 20)), 0, 0, 0},
		{"block 0.5 above another", shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 10.5, 20, 20, 20)), 0, 0, 1},
		{"ceiling 0.2 above support", ceiling(.2), 0, 0, 0},
		{"ceiling 1 above support", ceiling(1), 0, 90, 0},
		{"lip 0.2 above the bed", shapes.Join(box(0, 0, 0, 20, 20, 10), box(19, 0, .2, 40, 20, 10)), 0, 0, 0},
		{"lip 0.5 above the bed", shapes.Join(box(0, 0, 0, 20, 20, 10), box(19, 0, .5, 40, 20, 10)), 19.8, 0, 0},
		{"block 0.2 above the bed", shapes.Join(box(0, 0, 0, 20, 20, 10), box(30, 0, .2, 40, 20, 10)), 0, 0, 0},
		{"lip beside what ended a layer below", shapes.Join(box(0, 0, 0, 20, 20, 10), box(0, 0, 10.2, 10, 20, 20), box(20, 0, 10.2, 30, 20, 20)), 0, 0, 1},
	} {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				s := v.change(c.solid)
				over, bridge := take(t, s, "overhang", wholeLineTilt), take(t, s, "bridge", wholeLineTilt, 2)
				if c.reach == 0 {
					assert.Empty(t, over.Sites)
				} else {
					assert.GreaterOrEqual(t, worst(t, "overhang", over, "sag"), c.reach)
				}
				if c.span == 0 {
					assert.Empty(t, bridge.Sites)
				} else {
					assert.InDelta(t, c.span, worst(t, "bridge", bridge, "span"), 2*cell)
				}
				assert.Len(t, take(t, s, "island").Sites, c.islands)
			})
		}
	}
}

// Hinges that are printed in place have gaps of half a millimetre over what moves below. What
// sags there comes to lie on it, and holds what is laid beside it. Over the bed, over a deeper
// gap, or with only a post below its end the same shelf hangs.
func TestWhatTheModelCatches(t *testing.T) {
	shelf := func(below *mesh.Triangles) *mesh.Triangles {
		return shapes.Join(box(0, 0, 0, 5, 20, 30), box(5, 0, 20, 15, 20, 26), below)
	}
	for _, c := range []struct {
		name        string
		solid       *mesh.Triangles
		sag         float64
		reach, area float64
	}{
		{"0.4 above the model", shelf(box(4, -1, 0, 16, 21, 19.6)), 10, 0, 0},
		{"0.8 above the model", shelf(box(4, -1, 0, 16, 21, 19.2)), 10, 0, 0},
		{"1.2 above the model", shelf(box(4, -1, 0, 16, 21, 18.8)), 10, 10, 200},
		{"over nothing", shelf(box(0, 0, 0, 5, 20, 10)), 10, 10, 200},
		{"its inner half above the model", shelf(box(4, -1, 0, 10, 21, 19.4)), 10, 5, 100},
		{"its end above a post", shelf(box(13, -1, 0, 16, 21, 19.4)), 10, 4, 160},
		{"0.6 above the bed", shapes.Join(box(0, 0, 0, 5, 20, 10), box(4, 0, .6, 15, 20, 10)), 10, 10, 200},
	} {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				over := take(t, v.change(c.solid), "overhang", wholeLineTilt)
				assert.InDelta(t, c.sag, worst(t, "overhang", over, "sag"), 2*cell)
				assert.InDelta(t, c.reach, worst(t, "overhang", over, "reach"), 2*cell)
				assert.InDelta(t, c.area, worst(t, "overhang", over, "area"), 5)
			})
		}
	}
}
