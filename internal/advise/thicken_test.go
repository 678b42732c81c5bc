package advise

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/pose"
	"printlint/internal/shapes"
)

// block is a box from one corner to another.
func block(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return shapes.Box(shapes.Vec{X: x0, Y: y0, Z: z0}, shapes.Vec{X: x1, Y: y1, Z: z1})
}

// divider is a fin of a thickness, 40 mm long and 20 mm high, on a plate.
func divider(thick float64) *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{{0, 0}, {30, 0}, {30, 2}, {15 + thick, 2}, {15 + thick, 22}, {15, 22}, {15, 2}, {0, 2}}, 0, 40)
}

// pinOn is a round pin on a plate.
func pinOn(pin *mesh.Triangles) *mesh.Triangles {
	return shapes.Join(block(-15, -15, 0, 15, 15, 4), shapes.Move(pin, shapes.Vec{Z: 4}))
}

// between is a wall of 0.3 mm between two slots.
func between(slot float64) *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{
		{0, 0}, {20, 0}, {20, 20}, {10.3 + slot, 20}, {10.3 + slot, 3}, {10.3, 3}, {10.3, 20},
		{10, 20}, {10, 3}, {10 - slot, 3}, {10 - slot, 20}, {0, 20},
	}, 0, 30)
}

// editsAsItLies are those of a solid as it lies, whatever turning does for it, and how it lay before.
func editsAsItLies(t *testing.T, solid *mesh.Triangles) (*edited, *wayUp) {
	t.Helper()
	q := questionOn(t, solid)
	out, err := q.at(context.Background(), pose.Down, false)
	require.NoError(t, err)
	w := &wayUp{pose.Candidate{Down: pose.Down, Origin: pose.AsItLies}, out}
	e, err := q.editsOf(context.Background(), w, &looks{left: editLooks})
	require.NoError(t, err)
	return e, w
}

// TestWhatIsTooThinIsMadeThicker: each of these has one finding, and the words say what ends it.
func TestWhatIsTooThinIsMadeThicker(t *testing.T) {
	for name, c := range map[string]struct {
		solid  *mesh.Triangles
		words  string
		rule   string
		volume float64 // by formula, where there is one
	}{
		"divider":  {divider(0.3), "make the wall 0.5 mm thicker on its right side (+x): 0.8 mm, two lines", "min-wall", 0.5 * 40 * 20},
		"leaning":  {shapes.Map(divider(0.3), func(v shapes.Vec) shapes.Vec { v.Y += v.Z / 4; return v }), "make the wall 0.5 mm thicker on its right side (+x): 0.8 mm, two lines", "min-wall", 0.5 * 40 * 20},
		"slots":    {between(3), "make the wall 0.5 mm thicker on its right side (+x): 0.8 mm, two lines", "min-wall", 0.5 * 30 * 17},
		"narrow":   {between(0.6), "make the wall 0.25 mm thicker on either side: 0.8 mm, two lines", "min-wall", 0.5 * 30 * 17},
		"one side": {shapes.Join(divider(0.3), block(15.6, 0, 1, 25, 40, 22)), "make the wall 0.5 mm thicker on its left side (-x): 0.8 mm, two lines", "min-wall", 0.5 * 40 * 20},
		"sheets": {shapes.Join(block(0, 0, 0, 30, 40, 2), block(15, 0, 1, 15.15, 40, 20), block(15.15, 0, 1, 15.3, 40, 20)),
			"make the wall 0.5 mm thicker on its right side (+x): 0.8 mm, two lines", "min-wall", 0.5 * 40 * 18},
		"box":    {openBox(0.3), "make the wall 0.5 mm thicker on its outer side: 0.8 mm, two lines", "min-wall", 22 * (41*41 - 40*40)},
		"cup":    {shapes.Join(shapes.Tube(12, 11.7, 30, 64), shapes.Cylinder(12, 2, 64)), "make the wall 0.5 mm thicker on its outer side: 0.8 mm, two lines", "min-wall", 0},
		"tube":   {shapes.Join(shapes.Tube(6, 5.7, 10, 48), shapes.Cylinder(6, 2, 48)), "make the wall 0.5 mm thicker on its outer side: 0.8 mm, two lines", "min-wall", 0},
		"pin":    {pinOn(shapes.Cylinder(0.5, 30, 48)), "make the pin 2.8 mm thicker along 30 mm: 3.8 mm at its foot", "no-slender-columns", 30 * math.Pi * (1.9*1.9 - 0.25)},
		"peg":    {pinOn(shapes.Cylinder(1.5, 26, 48)), "put a fillet of 45° around the foot of the pin, 2.3 mm high and wide", "no-slender-columns", 0},
		"hair":   {pinOn(shapes.Cylinder(0.075, 10, 48)), "make the pin 1.2 mm thicker along 10 mm: 1.35 mm at its foot", "pin-too-thin", 10 * math.Pi * 0.675 * 0.675},
		"spike":  {shapes.Cone(2, 0, 40, 48), "make the pin 1.1 mm thicker along 40 mm: 5.09 mm at its foot", "no-slender-columns", 0},
		"needle": {pinOn(shapes.Cone(1, 0, 40, 48)), "make the pin 3.1 mm thicker along 40 mm: 5.09 mm at its foot", "no-slender-columns", 0},
		"open":   {shapes.DropTriangles(divider(0.3), 1, 3), "make the wall 0.5 mm thicker on its right side (+x): 0.8 mm, two lines", "min-wall", 0.5 * 40 * 20},
	} {
		e, before := editsAsItLies(t, c.solid)
		if !assert.NotNil(t, e, name) || !assert.Len(t, e.list, 1, name) {
			continue
		}
		assert.Equal(t, c.words, e.list[0].words, name)
		assert.Contains(t, e.list[0].rules, c.rule, name)
		assert.Less(t, e.Errors+e.Warnings, before.Errors+before.Warnings, name)
		assert.NotContains(t, rulesLeft(e), c.rule, name)
		if c.volume > 0 {
			assert.InDelta(t, c.volume, e.list[0].volume, 0.06*c.volume, name)
		}
		assert.InDelta(t, e.print.Volume, volumeOf(t, c.solid)+e.list[0].volume, 0.01*e.print.Volume, name)
	}
}

// openBox is a box 40 mm wide with thin walls, open at the top.
func openBox(wall float64) *mesh.Triangles {
	in := []float64{0, wall, 40 - wall, 40}
	return shapes.Blocks(in, in, []float64{0, 2, 22}, func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 })
}

// drilledBlock is a block with a hole along z that comes so near to its front.
func drilledBlock(d, wall float64) *mesh.Triangles {
	return shapes.Prism(shapes.Rect(-10, -d/2-wall, 10, 15), 0, 12, shapes.Ring(0, 0, d/2, 48))
}

// volumeOf is that of a solid as it prints.
func volumeOf(t *testing.T, solid *mesh.Triangles) float64 {
	t.Helper()
	q := questionOn(t, solid)
	p, err := q.printOf(context.Background(), q.AsItLies.Body, pose.Down)
	require.NoError(t, err)
	return p.Volume
}

func rulesLeft(e *edited) (list []string) {
	for _, c := range e.left() {
		list = append(list, c.Rule)
	}
	return list
}

// TestNothingIsMadeThickerWhereThatDoesHarm: where both slots beside a wall would become too
// narrow, where the wall is thick enough, where only a floor is thin, where it is not known what is
// inside.
func TestNothingIsMadeThickerWhereThatDoesHarm(t *testing.T) {
	for name, solid := range map[string]*mesh.Triangles{
		"slots": between(0.35), "thick": divider(0.4), "floor": shapes.Slab(0.15), "inside out": shapes.Flip(divider(0.3)),
	} {
		e, _ := editsAsItLies(t, solid)
		assert.Nil(t, e, name)
	}
}

// TestOneWallInTheWayLeavesTheOthers: of three walls the one between two slots stays as it is.
func TestOneWallInTheWayLeavesTheOthers(t *testing.T) {
	e, before := editsAsItLies(t, shapes.Join(between(0.35), shapes.Move(divider(0.3), shapes.Vec{X: 40}), shapes.Move(divider(0.2), shapes.Vec{X: 80})))
	require.NotNil(t, e)
	assert.Equal(t, 3, before.Errors)
	assert.Equal(t, 1, e.Errors)
	require.Len(t, e.list, 2)
	assert.Equal(t, "make two walls thicker as said below", thickWords(e.kinds()[0]))
	assert.InDelta(t, (0.5+0.6)*40*20, e.list[0].volume+e.list[1].volume, 1)
}

// TestAHoleIsNotMadeNarrower: of a strip of thin wall between a hole and a face the face grows, if
// a wall is to be made thicker anyway.
func TestAHoleIsNotMadeNarrower(t *testing.T) {
	e, before := editsAsItLies(t, shapes.Join(drilledBlock(6, 0.2), shapes.Move(divider(0.3), shapes.Vec{X: 40})))
	require.NotNil(t, e)
	assert.Equal(t, []int{1, 1}, []int{before.Errors, before.Warnings})
	require.Len(t, e.list, 2)
	assert.Equal(t, "make the wall 0.2 mm thicker on its front (-y): 0.4 mm, one line", e.list[1].words)
	assert.Equal(t, []string{"thin-strip"}, e.list[1].rules)
	assert.True(t, e.clean())
}

// TestWhatGrowsKeepsClear: pins side by side have no room to grow, nor has a wall beside another
// that grows towards it; what has no room stays as it is.
func TestWhatGrowsKeepsClear(t *testing.T) {
	pins := func(apart float64) *mesh.Triangles {
		return pinOn(shapes.Join(shapes.Cylinder(1, 30, 48), shapes.Move(shapes.Cylinder(1, 30, 48), shapes.Vec{X: apart})))
	}
	e, _ := editsAsItLies(t, pins(2.8))
	assert.Nil(t, e, "0.8 mm between pins that need 0.9 mm each")
	e, _ = editsAsItLies(t, pins(3.5))
	require.NotNil(t, e)
	assert.Len(t, e.list, 1, "room for one to grow, not for both")
	e, _ = editsAsItLies(t, pins(4.1))
	require.NotNil(t, e)
	assert.Len(t, e.list, 2)
	e, _ = editsAsItLies(t, shapes.Join(pins(3.5), shapes.Move(shapes.Cone(1, 0, 25, 48), shapes.Vec{X: -8, Y: 8, Z: 4})))
	require.Len(t, e.list, 2)
	assert.InDelta(t, 29, min(e.list[0].solid.Box().Max.Z, e.list[1].solid.Box().Max.Z), 1e-4, "the spike grows to its tip")
	beside := shapes.Join(pinOn(shapes.Cylinder(1, 30, 48)), block(-15, 1.3, 3, 15, 6, 30))
	e, _ = editsAsItLies(t, beside)
	assert.Nil(t, e, "a wall 0.3 mm beside the pin")
	// The left fin can only grow to the right, and the right one only to the left.
	facing := shapes.Join(divider(0.3), block(15.3+1.1, 0, 1, 15.3+1.4, 40, 22), block(10, 0, 1, 14.7, 40, 22), block(17, 0, 1, 25, 40, 22))
	e, _ = editsAsItLies(t, facing)
	require.NotNil(t, e)
	assert.Len(t, e.list, 1)
}

// TestAPinIsAdvisedThoughNothingFails, a strip of thin wall is not.
func TestAPinIsAdvisedThoughNothingFails(t *testing.T) {
	a := adviceOn(t, pinOn(shapes.Cylinder(0.5, 30, 48)))
	require.NotNil(t, a.Edits)
	assert.Zero(t, a.Poses[0].Findings.Error)
	assert.Equal(t, thickerPin, a.Edits.List[0].Kind)
	assert.Zero(t, a.Edits.Pose.Findings.Warning)
	assert.Contains(t, a.Edits.List[0].Words, "at its foot; adds 3")
	e, strip := editsAsItLies(t, drilledBlock(6, 0.2))
	assert.Positive(t, strip.Warnings)
	assert.Nil(t, e)
}

// TestAThickerPinNamesAllItEnds: the ledge below the head of a pin is just too wide, and is not once
// the pin is thicker.
func TestAThickerPinNamesAllItEnds(t *testing.T) {
	pin := shapes.Revolve(shapes.Polygon{{0, 0}, {11.6619, 0}, {11.6619, 4.7169}, {0.4792, 4.7169}, {0.4792, 13.1287}, {2.9189, 13.1287}, {2.9189, 16.1287}, {0, 16.1287}}, 32)
	e, before := editsAsItLies(t, pin)
	require.NotNil(t, e)
	require.Equal(t, 1, before.Errors)
	require.Zero(t, e.Errors)
	require.Len(t, e.list, 1)
	assert.ElementsMatch(t, []string{"max-overhang-angle", "no-slender-columns"}, e.list[0].rules)
}

// found are the findings on a solid as it lies, by rule.
func found(t *testing.T, solid *mesh.Triangles) []finding.RuleCount {
	t.Helper()
	out, err := questionOn(t, solid).at(context.Background(), pose.Down, false)
	require.NoError(t, err)
	return out.left()
}

// redrawn is a solid as its designer would change it: the corners of the face that an edit stands on,
// or of two, are moved out with it. Faces must be square to x.
func redrawn(solid *mesh.Triangles, e *edit, sides ...float64) *mesh.Triangles {
	parts := e.solid.Topology().Shells
	for i, out := range sides {
		box := e.solid.Box()
		if len(sides) > 1 {
			box = parts[i].Box
			if other := parts[1-i].Box; (box.Min.X > other.Min.X) != (out > 0) {
				box = other
			}
		}
		by := box.Size().X - 0.02 // of which so much lies in the wall
		from := box.Min.X + by
		if out > 0 {
			from = box.Max.X - by
		}
		solid = shapes.Map(solid, func(v shapes.Vec) shapes.Vec {
			if math.Abs(v.X-from) < 1e-3 && box.Contains(v, 0.1) {
				v.X += math.Copysign(by, out)
			}
			return v
		})
	}
	return solid
}

// TestTheDemonstrationDivider: its three fins are advised to be made thicker, and where the
// corners of their faces are moved so in the mesh itself, the rules find what was promised.
func TestTheDemonstrationDivider(t *testing.T) {
	const name = "../../testdata/demo/pots/tray-divider.stl"
	file, err := meshfile.Open(name)
	require.NoError(t, err)
	defer file.Close()
	parts, err := meshfile.Read(name, file, meshfile.Options{})
	require.NoError(t, err)
	require.NoError(t, parts[0].Load())
	solid := parts[0].Triangles
	e, before := editsAsItLies(t, solid)
	require.NotNil(t, e)
	assert.Equal(t, 3, before.Errors)
	require.Len(t, e.list, 3)
	volume := mesh.Weld(solid).Volume()
	for _, c := range e.list {
		assert.Equal(t, "make the wall 0.5 mm thicker on its right side (+x): 0.8 mm, two lines", c.words)
		solid, volume = redrawn(solid, c, 1), volume+c.volume
	}
	changed := mesh.Weld(solid)
	assert.True(t, changed.Topology().Closed())
	assert.InDelta(t, volume, changed.Volume(), 0.5)
	assert.Equal(t, e.left(), found(t, solid))
	assert.Empty(t, found(t, solid))
}

// TestRandomWallsAsPromised: fins of any thickness at any distance, some of them too near to each
// other to be made thicker: what is promised of the solids is found on the mesh that is drawn anew,
// and nothing is worse than before.
func TestRandomWallsAsPromised(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 3))
	helped := 0
	for range 8 {
		top := shapes.Polygon{}
		x := 6.0
		for range 2 + rng.IntN(4) {
			thick := 0.1 + 0.5*rng.Float64()
			top = append(top, [2]float64{x, 2}, [2]float64{x, 14}, [2]float64{x + thick, 14}, [2]float64{x + thick, 2})
			x += thick + 0.25 + 1.5*rng.Float64()*rng.Float64() + 6*float64(rng.IntN(2))
		}
		outline := shapes.Polygon{{0, 0}, {0, 2}}
		outline = append(append(outline, top...), [2]float64{x + 6, 2}, [2]float64{x + 6, 0})
		for i, k := 0, len(outline)-1; i < k; i, k = i+1, k-1 {
			outline[i], outline[k] = outline[k], outline[i]
		}
		solid := shapes.ExtrudeY(outline, 0, 30)
		e, before := editsAsItLies(t, solid)
		if e == nil {
			continue
		}
		assert.Less(t, e.Errors, before.Errors)
		assert.LessOrEqual(t, e.Warnings, before.Warnings)
		assert.LessOrEqual(t, e.Notes, before.Notes)
		for _, c := range e.list {
			for side, out := range map[string][]float64{"right side": {1}, "left side": {-1}, "either side": {-1, 1}} {
				if strings.Contains(c.words, side) {
					solid = redrawn(solid, c, out...)
				}
			}
		}
		helped++
		assert.True(t, mesh.Weld(solid).Topology().Closed())
		assert.Equal(t, e.left(), found(t, solid))
	}
	assert.Positive(t, helped)
}

// TestPinsAsPromised: a pin and a fillet that are drawn as the words say have no finding, and those that
// are a little less still do.
func TestPinsAsPromised(t *testing.T) {
	filleted := func(size float64) *mesh.Triangles {
		return pinOn(shapes.Join(shapes.Cylinder(1.5, 26, 48), shapes.Cone(1.5+size, 1.5, size, 48)))
	}
	assert.Empty(t, found(t, pinOn(shapes.Cylinder(0.5+2.8/2, 30, 48))))
	assert.NotEmpty(t, found(t, pinOn(shapes.Cylinder(0.5+2.5/2, 30, 48))))
	assert.Empty(t, found(t, filleted(2.3)))
	assert.NotEmpty(t, found(t, filleted(1.5)))
}

// TestMakingThickerIsInterrupted as all that is slow.
func TestMakingThickerIsInterrupted(t *testing.T) {
	q := questionOn(t, divider(0.3))
	out, err := q.at(context.Background(), pose.Down, false)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = q.editsOf(ctx, &wayUp{pose.Candidate{Down: pose.Down, Origin: pose.AsItLies}, out}, &looks{left: editLooks})
	assert.Error(t, err)
}
