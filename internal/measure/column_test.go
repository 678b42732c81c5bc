package measure

import (
	"math"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// onPlate stands bodies, drawn from z = 0 up, on a plate 2 mm thick.
func onPlate(bodies ...*mesh.Triangles) *mesh.Triangles {
	up := shapes.Move(shapes.Join(bodies...), shapes.Vec{Z: 2})
	return shapes.Join(shapes.Box(shapes.Vec{X: -25, Y: -25}, shapes.Vec{X: 25, Y: 25, Z: 2}), up)
}

// bar is a prism about the axis.
func bar(x, y, height float64) *mesh.Triangles {
	return shapes.Box(shapes.Vec{X: -x / 2, Y: -y / 2}, shapes.Vec{X: x / 2, Y: y / 2, Z: height})
}

func TestColumnOfPins(t *testing.T) {
	cases := []struct {
		name          string
		soup          *mesh.Triangles
		width, height float64
		z             float64
	}{
		{"square pin 2 x 2 x 20", onPlate(bar(2, 2, 20)), 2, 20, 2},
		{"square pin 4 x 4 x 20", onPlate(bar(4, 4, 20)), 4, 20, 2},
		{"square pin 5 x 5 x 20", onPlate(bar(5, 5, 20)), 5, 20, 2},
		{"flat pin 1 x 4 x 15", onPlate(bar(1, 4, 15)), 1, 15, 2},
		{"round pin 3 x 30", onPlate(shapes.Cylinder(1.5, 30, 64)), 3, 30, 2},
		{"round pin 5 x 30", onPlate(shapes.Cylinder(2.5, 30, 64)), 5, 30, 2},
		{"tube 4 / 2 x 24", onPlate(shapes.Tube(2, 1, 24, 64)), 4, 24, 2},
		{"pin on the bed", bar(3, 3, 30), 3, 30, 0},
	}
	for _, c := range cases {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				r := take(t, v.change(c.soup), "column")
				require.Len(t, r.Sites, 1)
				s := r.Sites[0]
				assert.InDelta(t, c.width, value(t, "column", s, "width"), 0.0061)
				assert.InDelta(t, c.height, value(t, "column", s, "length"), 0.2001)
				assert.InDelta(t, c.height, value(t, "column", s, "height"), 0.2001)
				assert.InDelta(t, c.z, value(t, "column", s, "z"), 0.2001)
				assert.InEpsilon(t, c.height/c.width, value(t, "column", s, "slenderness"), 0.1/c.width+0.02)
				assert.Zero(t, value(t, "column", s, "braced"))
				assert.Equal(t, []float64{1, value(t, "column", s, "slenderness")}, r.Model)
				require.Len(t, s.Tris, 1)
			})
		}
	}
}

// Thinner than a few cells the width is that of the drawing all the same, wherever the cells lie.
func TestWidthOfThinPinsIsExact(t *testing.T) {
	for _, sides := range []int{3, 4, 5, 6, 12} {
		for _, width := range []float64{.25, .29, .3, .39, .45} {
			r := width / 2 / math.Cos(math.Pi/float64(sides)) // from corner to axis
			if sides%2 == 1 {
				r = width / (1 + math.Cos(math.Pi/float64(sides)))
			}
			for k := range 16 {
				pin := shapes.Turn(shapes.Cylinder(r, 11, sides), shapes.Z, float64(k)*7)
				pin = shapes.Move(pin, mesh.Vec{X: float64(k%4) * .025, Y: float64(k/4) * .025})
				found := take(t, onPlate(pin), "column")
				if assert.Len(t, found.Sites, 1, "%d sides, %g wide, shift %d", sides, width, k) {
					assert.InDelta(t, width, value(t, "column", found.Sites[0], "width"), 1e-5, "%d sides, shift %d", sides, k)
				}
			}
		}
	}
}

// Collars no taller than the pin is wide do not end it, and a head does.
func TestCollarsOfPins(t *testing.T) {
	collar := func(z, tall, r float64) *mesh.Triangles {
		return shapes.Move(shapes.Cylinder(r, tall, 32), shapes.Vec{Z: z})
	}
	for _, c := range []struct {
		height float64
		bodies []*mesh.Triangles
		length float64
	}{
		{40, []*mesh.Triangles{collar(10, 1, 4), collar(20, 1, 4), collar(30, 1, 4)}, 40},
		{80, []*mesh.Triangles{collar(10, 1.8, 8), collar(40, 1.8, 8), collar(70, 1.8, 8)}, 80},
		{40, []*mesh.Triangles{collar(30, 4, 4)}, 30},
		{40, []*mesh.Triangles{collar(39, 1, 4)}, 39},
	} {
		for _, v := range variants {
			soup := v.change(onPlate(append(c.bodies, shapes.Cylinder(1, c.height, 32))...))
			longest := worst(t, "column", take(t, soup, "column"), "length")
			assert.InDelta(t, c.length, longest, .4001, "%g tall, %d collars, %s", c.height, len(c.bodies), v.name)
		}
	}
}

func TestNoColumn(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"cube":                          shapes.Cube(20),
		"small cube":                    shapes.Cube(4),
		"fin 1 x 40 x 40":               onPlate(bar(1, 40, 40)),
		"fin 0.4 x 8 x 40":              onPlate(bar(0.4, 8, 40)),
		"post 6 x 6 x 60":               onPlate(bar(6, 6, 60)),
		"stub 4 x 4 x 7":                onPlate(bar(4, 4, 7)),
		"tube of 20 mm with thin walls": shapes.Tube(10, 9.5, 60, 96),
		"rib on a wall":                 onPlate(bar(20, 8, 40), shapes.Move(bar(2, 2, 40), shapes.Vec{Y: 4.5})),
		"T upside down":                 shapes.OnBed(shapes.Turn(shapes.T(), shapes.X, 180)),
	} {
		for _, v := range variants {
			r := take(t, v.change(soup), "column")
			assert.Empty(t, r.Sites, "%s, %s", name, v.name)
			assert.Equal(t, []float64{0, 0}, r.Model)
		}
	}
}

// The width counts up to the limit and a cell beyond it, whoever draws the line.
func TestColumnAtTheLimit(t *testing.T) {
	pin := onPlate(shapes.Cylinder(3, 30, 64))
	assert.Empty(t, take(t, pin, "column").Sites)
	assert.Empty(t, take(t, pin, "column", 5.8).Sites)
	assert.Len(t, take(t, pin, "column", 6).Sites, 1)
	assert.Len(t, take(t, pin, "column", 7).Sites, 1)
}

// A column is braced by what rests elsewhere too, not by a head of its own.
func TestColumnBraced(t *testing.T) {
	pins := func(head *mesh.Triangles) *mesh.Triangles {
		return shapes.Join(bar(3, 3, 30), shapes.Move(bar(3, 3, 30), shapes.Vec{X: 20}), head)
	}
	portal := pins(shapes.Box(shapes.Vec{X: -5, Y: -5, Z: 30}, shapes.Vec{X: 25, Y: 5, Z: 35}))
	mushrooms := pins(shapes.Box(shapes.Vec{X: -5, Y: -5, Z: 30}, shapes.Vec{X: 5, Y: 5, Z: 35}))
	for _, c := range []struct {
		soup   *mesh.Triangles
		braced []float64
	}{{portal, []float64{1, 1}}, {mushrooms, []float64{0, 0}}, {shapes.Join(bar(3, 3, 30)), []float64{0}}} {
		r := take(t, c.soup, "column")
		assert.Equal(t, c.braced, values(t, "column", r, "braced"))
		for _, h := range values(t, "column", r, "length") {
			assert.InDelta(t, 30, h, 0.2001)
		}
	}
}

// A fork is three columns and none of them braced.
func TestColumnForks(t *testing.T) {
	prong := func(x float64) *mesh.Triangles { return shapes.Move(bar(1.2, 1.2, 10), shapes.Vec{X: x, Z: 12}) }
	r := take(t, shapes.Join(bar(4, 4, 12), prong(-1.2), prong(1.2)), "column")
	lengths := values(t, "column", r, "length")
	sort.Float64s(lengths)
	assert.InDeltaSlice(t, []float64{10, 10, 12}, lengths, 0.2001)
	assert.Equal(t, []float64{0, 0, 0}, values(t, "column", r, "braced"))
}

// Of a waist the place is told above which most stands for the width there; a spike
// is as slender all the way up.
func TestColumnWeakestPlace(t *testing.T) {
	waist := shapes.Join(bar(4, 4, 10), shapes.Move(bar(2, 2, 10), shapes.Vec{Z: 10}), shapes.Move(bar(4, 4, 20), shapes.Vec{Z: 20}))
	r := take(t, waist, "column")
	require.Len(t, r.Sites, 1)
	s := r.Sites[0]
	assert.InDelta(t, 40, value(t, "column", s, "length"), 0.2001)
	assert.InDelta(t, 30, value(t, "column", s, "height"), 0.2001)
	assert.InDelta(t, 2, value(t, "column", s, "width"), 0.1001)
	assert.InDelta(t, 10, value(t, "column", s, "z"), 0.2001)
	spike := take(t, onPlate(shapes.Cone(2, 0.05, 24, 64)), "column")
	require.Len(t, spike.Sites, 1)
	assert.InDelta(t, 6, value(t, "column", spike.Sites[0], "slenderness"), 0.6)
	hair := take(t, onPlate(bar(0.2, 0.2, 8)), "column")
	require.Len(t, hair.Sites, 1)
	assert.InDelta(t, 20, value(t, "column", hair.Sites[0], "slenderness"), 0.6, "less than a line counts as a line")
}

// A leaning pin is followed although its sections only overlap.
func TestColumnLeaning(t *testing.T) {
	for _, lean := range []float64{10, 30, 45} {
		s := math.Tan(lean * math.Pi / 180)
		pin := shapes.Map(shapes.Cylinder(1.5, 24, 64), func(p shapes.Vec) shapes.Vec { p.X += p.Z * s; return p })
		r := take(t, onPlate(pin), "column")
		require.Len(t, r.Sites, 1, "lean %v", lean)
		assert.InDelta(t, 24, value(t, "column", r.Sites[0], "length"), 0.2001)
		assert.InDelta(t, 3, value(t, "column", r.Sites[0], "width"), 0.1501)
	}
}

// Several rules with limits of their own are served by one sweep.
func TestColumnWidthsSideBySide(t *testing.T) {
	b := NewBody(mesh.Weld(onPlate(bar(2, 2, 20), shapes.Move(bar(6, 6, 30), shapes.Vec{X: 15}))))
	got, err := b.Measure(t.Context(), AsIs, process, Options{}, []Request{
		{"column", []float64{5}}, {"column", []float64{8}}, {"column", nil}})
	require.NoError(t, err)
	assert.Len(t, got[0].Sites, 1)
	assert.Len(t, got[1].Sites, 2)
	assert.Equal(t, got[0], got[2])
}

// Random stacks against columns followed block by block.
func TestColumnAgainstBlocks(t *testing.T) {
	found := 0
	for seed := uint64(1); seed <= 150; seed++ {
		soup, filled := randomBlocks(seed)
		var got [levels - 1]int
		for _, s := range take(t, soup, "column", 2.5).Sites {
			got[int(math.Round(value(t, "column", s, "length")/blockSize))-2]++
		}
		want := bruteColumns(filled)
		assert.Equal(t, want, got, "seed %d", seed)
		for _, n := range want {
			found += n
		}
	}
	assert.Greater(t, found, 20, "too few columns to tell anything")
}
