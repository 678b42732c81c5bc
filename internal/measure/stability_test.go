package measure

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// post is a prism on a square of the given side.
func post(x, y, side, height float64) *mesh.Triangles {
	return shapes.Box(shapes.Vec{X: x, Y: y}, shapes.Vec{X: x + side, Y: y + side, Z: height})
}

func TestStabilityOfExactShapes(t *testing.T) {
	cases := []struct {
		name        string
		soup        *mesh.Triangles
		tip, height float64
		offset      float64
		area        float64
	}{
		// The tilt of a prism as tall as n widths is atan(1 / n).
		{"cube", post(0, 0, 20, 20), 45, 20, 10, 400},
		{"4:1", post(0, 0, 20, 80), 14.036, 80, 10, 400},
		{"8:1", post(0, 0, 10, 80), 7.125, 80, 5, 100},
		{"10:1", post(0, 0, 10, 100), 5.711, 100, 5, 100},
		{"round 10:1", shapes.Cylinder(5, 100, 128), 5.711, 100, 5, 25 * math.Pi},
		// Stem 3000 mm3 at 15 mm and bar 5000 mm3 at 35 mm: centre at 27.5 mm.
		{"T", shapes.T(), math.Atan(5/27.5) * 180 / math.Pi, 40, 5, 100},
		{"T of touching boxes", shapes.TTouching(), math.Atan(5/27.5) * 180 / math.Pi, 40, 5, 100},
		{"T of overlapping boxes", shapes.TOverlapping(), math.Atan(5/27.5) * 180 / math.Pi, 40, 5, 100},
		// The centre of a blunt cone: h/4 (R2 + 2Rr + 3r2) / (R2 + Rr + r2).
		{"cone", shapes.Cone(10, 1, 60, 128), math.Atan(10/(15.0*123/111)) * 180 / math.Pi, 60, 10, 100 * math.Pi},
	}
	for _, c := range cases {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				r := take(t, v.change(c.soup), "stability")
				require.Len(t, r.Sites, 1)
				s := r.Sites[0]
				assert.InDelta(t, c.tip, value(t, "stability", s, "tip"), 0.02*c.tip)
				assert.InDelta(t, c.height, value(t, "stability", s, "height"), 0.2001)
				assert.InDelta(t, c.offset, value(t, "stability", s, "offset"), cell)
				assert.InDelta(t, c.area, value(t, "stability", s, "area"), 0.02*c.area)
				assert.Equal(t, s.Values, r.Model, "one piece stands for the model")
				require.Len(t, s.Tris, 1)
			})
		}
	}
}

// An arm that leans 60 deg from vertical over a foot of 10 mm leaves it: the angle
// goes through 0 and on below it.
func TestStabilityOfALeaningArm(t *testing.T) {
	steady := take(t, shapes.LeaningArm(30, 2), "stability")
	assert.Greater(t, steady.Model[0], 0.0)
	sheared := shapes.Map(post(0, 0, 10, 60), func(p shapes.Vec) shapes.Vec { p.X += p.Z / 2; return p })
	r := take(t, sheared, "stability")
	// Centre of a prism sheared by s: s h / 2 beside the middle of its foot, at h / 2.
	assert.InDelta(t, math.Atan2(5-15, 30)*180/math.Pi, r.Model[0], 0.2)
	assert.InDelta(t, -10, value(t, "stability", r.Sites[0], "offset"), cell)
	edge := shapes.Map(post(0, 0, 10, 40), func(p shapes.Vec) shapes.Vec { p.X += p.Z / 4; return p })
	assert.InDelta(t, 0, take(t, edge, "stability").Model[0], 0.2, "right over the edge")
}

// Each leg of a table stands alone until the top joins them, and that is what tells.
func TestStabilityOfLegs(t *testing.T) {
	for _, soup := range []*mesh.Triangles{shapes.Table(), shapes.TableTouching()} {
		r := take(t, soup, "stability")
		require.Len(t, r.Sites, 1, "the legs are one piece in the end")
		height := value(t, "stability", r.Sites[0], "height")
		assert.InDelta(t, math.Atan(8/height)*180/math.Pi, r.Model[0], 0.2, "a leg of 8 mm, just before the top")
		assert.InDelta(t, 64, value(t, "stability", r.Sites[0], "area"), 2)
	}
}

// Once they are joined, legs stand as one: a tower between two of them is held by both.
func TestStabilityOfJoinedLegs(t *testing.T) {
	box := func(x0, x1, z0, z1 float64) *mesh.Triangles {
		return shapes.Box(shapes.Vec{X: x0, Y: 0, Z: z0}, shapes.Vec{X: x1, Y: 40, Z: z1})
	}
	tower := shapes.Join(box(0, 10, 0, 10), box(50, 60, 0, 10), box(0, 60, 10, 20), box(40, 50, 20, 220))
	// 8000 mm3 at 5 mm, 24000 at 15 and 80000 at 120, over a hull of 60 x 40. The
	// rim at x = 60 is a little nearer than those at y = 0 and 40.
	centre := (8000*5 + 24000*15 + 80000*120.0) / 112000
	offset := 60 - (32000*30+80000*45.0)/112000
	for _, v := range variants {
		r := take(t, v.change(tower), "stability")
		require.Len(t, r.Sites, 1)
		assert.InDelta(t, math.Atan(offset/centre)*180/math.Pi, r.Model[0], 0.15, v.name)
		assert.InDelta(t, 800, value(t, "stability", r.Sites[0], "area"), 8, v.name)
	}
}

// A body is not held by another's footprint.
func TestStabilityOfSeveralBodies(t *testing.T) {
	plate := shapes.Join(post(0, 0, 20, 20), post(30, 0, 5, 50), post(-30, 0, 10, 40), post(0, 40, 20, 5))
	r := take(t, plate, "stability")
	require.Len(t, r.Sites, 4)
	tips := map[string]bool{}
	for i, s := range r.Sites {
		tips[fmt.Sprintf("%.0f", value(t, "stability", s, "tip"))] = true
		assert.Less(t, s.Box.Size().X, 20.5, "site %d is one body", i)
	}
	assert.Equal(t, map[string]bool{"45": true, "6": true, "14": true, "76": true}, tips)
	assert.InDelta(t, 5.711, r.Model[0], 0.1, "the worst tells")
}

// What begins in the air has no foot, and weighs in only once it is joined.
func TestStabilityAndWhatHangs(t *testing.T) {
	r := take(t, shapes.FloatingCube(), "stability")
	require.Len(t, r.Sites, 1)
	assert.InDelta(t, 45, r.Model[0], 0.5)
	hook := take(t, shapes.Hook(), "stability")
	require.Len(t, hook.Sites, 1)
}

// A ball stands on the disc that its first layer makes.
func TestStabilityOfABall(t *testing.T) {
	foot := math.Sqrt(2 * 15 * 0.1)
	assert.InDelta(t, math.Atan(foot/15)*180/math.Pi, take(t, shapes.Ball(15, 96), "stability").Model[0], 0.4)
}

// The running centre of mass and its footprint against sums over every cell.
func TestStabilityAgainstSums(t *testing.T) {
	for seed := uint64(1); seed <= 150; seed++ {
		soup, filled := randomBlocks(seed)
		want := bruteTip(filled)
		r := take(t, soup, "stability")
		// Half a cell at a corner, seen from a centre 2 mm above the bed.
		assert.InDelta(t, want, r.Model[0], 1.5, "seed %d", seed)
	}
}
