package measure

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// spoilers are the kinds of damage. The amount is a share of the triangles, or, where
// corners move, a distance in mm. Up to hold every verdict and value stays what it was;
// at lost the model is undecided (0: never, such damage can be undone whatever it is).
var spoilers = []struct {
	name       string
	hold, lost float64
	moves      bool // corners move
	spoil      func(s *mesh.Triangles, amount float64, seed uint64) *mesh.Triangles
}{
	{"triangles missing", 0.10, 0.60, false, byShare(shapes.DropTriangles)},
	{"triangles turned", 0.20, 0, false, byShare(shapes.FlipTriangles)},
	{"triangles twice", 0.50, 0, false, byShare(shapes.DuplicateTriangles)},
	{"triangles without area", 0.50, 0, false, byShare(shapes.CollapseTriangles)},
	{"faces inside", 0.10, 0, false, byShare(shapes.InnerFaces)},
	{"corners torn apart", 0.02, 0.30, true, shapes.Jitter},
	{"surface rough", 0.01, 0, true, shapes.Roughen},
	{"patches moved", 0.02, 0.20, true, func(s *mesh.Triangles, gap float64, seed uint64) *mesh.Triangles {
		return shapes.Shatter(s, 8, gap, seed)
	}},
}

// byShare makes a damage that counts triangles one that takes a share of them.
func byShare(f func(*mesh.Triangles, int, uint64) *mesh.Triangles) func(*mesh.Triangles, float64, uint64) *mesh.Triangles {
	return func(s *mesh.Triangles, amount float64, seed uint64) *mesh.Triangles {
		return f(s, 1+int(amount*float64(s.Count())), seed)
	}
}

// spoilt are shapes with enough triangles to lose some, and whether they print.
var spoilt = []struct {
	name  string
	fails bool
	soup  *mesh.Triangles
}{
	{"T", true, finer(shapes.T())},
	{"T of overlapping boxes", true, finer(shapes.TOverlapping())},
	{"portal", true, finer(shapes.Portal(30))},
	{"table", true, finer(shapes.Table())},
	{"hook", true, finer(shapes.Hook())},
	{"lip", true, finer(shapes.Lip(3))},
	{"arm", true, finer(shapes.LeaningArm(70, 4))},
	{"ball", true, shapes.Ball(15, 48)},
	{"bolt lying", true, shapes.BoltLying(32)},
	{"bolt on its head", false, shapes.Bolt(32)},
	{"drilled block", false, finer(shapes.Drilled(8, 32))},
	{"lid", false, finer(shapes.PatternLid())},
	{"cube with a cavity", false, finer(shapes.HollowBox(20, 2))},
	{"stacked cubes", false, finer(shapes.StackedCubes())},
}

// finer cuts triangles in four until there are some hundreds.
func finer(s *mesh.Triangles) *mesh.Triangles {
	for s.Count() < 300 {
		s = shapes.Split4(s)
	}
	return s
}

// told is what decides whether a shape prints.
type told struct {
	reach, span, islands, base, flat float64
	undecided                        string
}

// fails is the judgement of the usual limits.
func (k told) fails() bool {
	return k.reach > 2 || k.span > 25 || k.islands > 0 || k.flat < 9
}

// tell takes what decides, and more measures where they are named.
func tell(t testing.TB, s *mesh.Triangles, more ...Request) told {
	t.Helper()
	requests := append([]Request{{"overhang", []float64{wholeLineTilt}}, {"bridge", []float64{wholeLineTilt, 2}}, {"island", nil}, {"base", nil}, {"filling", nil}}, more...)
	results, err := NewBody(mesh.Weld(s)).Measure(context.Background(), AsIs, process, Options{}, requests)
	require.NoError(t, err)
	for i, q := range requests {
		for _, site := range results[i].Sites {
			for _, tri := range site.Tris {
				require.Less(t, int(tri), s.Count(), "%s names a triangle that is not in the file", q.Measure)
			}
		}
	}
	k := told{base: results[3].Model[0], flat: results[3].Model[1], undecided: results[4].Undecided}
	k.reach = worst(t, "overhang", results[0], "reach")
	for _, b := range results[1].Sites {
		if value(t, "bridge", b, "ledge") > 2 {
			k.span = max(k.span, value(t, "bridge", b, "span"))
		}
	}
	k.islands = float64(len(results[2].Sites))
	return k
}

func TestVerdictsHoldUnderDamage(t *testing.T) {
	for _, shape := range spoilt {
		clean := tell(t, shape.soup)
		require.Empty(t, clean.undecided)
		require.Equal(t, shape.fails, clean.fails(), "%s: %+v", shape.name, clean)
		for _, d := range spoilers {
			t.Run(shape.name+", "+d.name, func(t *testing.T) {
				const seed = 1
				t.Logf("seed %d", seed)
				k := tell(t, d.spoil(shape.soup, d.hold, seed))
				require.Empty(t, k.undecided)
				assert.Equal(t, shape.fails, k.fails())
				assert.Equal(t, clean.islands, k.islands)
				if d.moves { // what lies flat to 0.05 mm is soon rough, and a ball's foot soon smaller
					assert.InDelta(t, clean.reach, k.reach, 0.5)
					assert.InDelta(t, clean.span, k.span, 0.5)
					assert.InDelta(t, clean.base, k.base, 0.02*clean.base+4)
					return
				}
				assert.InDelta(t, clean.reach, k.reach, 0.2)
				assert.InDelta(t, clean.span, k.span, 0.2)
				assert.InDelta(t, clean.base, k.base, 0.5)
				assert.InDelta(t, clean.flat, k.flat, 0.5)
			})
		}
	}
}

// No measure breaks down over damage.
func TestEveryMeasureBearsDamage(t *testing.T) {
	var all []Request
	for _, m := range Catalog() {
		all = append(all, Request{Measure: m.Name})
	}
	for _, d := range spoilers {
		for _, amount := range []float64{d.hold, 10 * d.hold} {
			t.Logf("%s %g, seed 6", d.name, amount)
			tell(t, d.spoil(shapes.Figure(), min(amount, 0.9), 6), all...)
		}
	}
}

func TestHeavyDamageIsUndecided(t *testing.T) {
	for _, shape := range spoilt {
		for _, d := range spoilers {
			if d.lost == 0 {
				continue
			}
			k := tell(t, d.spoil(shape.soup, d.lost, 4))
			assert.NotEmpty(t, k.undecided, "%s, %s, seed 4: %+v", shape.name, d.name, k)
		}
	}
}

// Between what is borne and what is lost, a shape that fails is found to fail or is
// undecided; it never passes.
func TestDamageHidesNothing(t *testing.T) {
	silent, lost, n := 0, 0, 0
	for _, shape := range spoilt {
		if !shape.fails {
			continue
		}
		for _, d := range spoilers {
			for _, times := range []float64{2, 5} {
				amount, seed := min(times*d.hold, 0.9), uint64(10*times)
				k := tell(t, d.spoil(shape.soup, amount, seed))
				n++
				if k.undecided != "" {
					lost++
				} else if !k.fails() {
					silent++
					t.Errorf("%s, %s %g, seed %d passes: %+v", shape.name, d.name, amount, seed, k)
				}
			}
		}
	}
	t.Logf("%d models, %d undecided, %d passed that fail", n, lost, silent)
	assert.Positive(t, lost)
	assert.Less(t, lost, n/2)
}

func TestReasonsForUndecided(t *testing.T) {
	wall := &mesh.Triangles{Corners: shapes.Cube(20).Corners[:6]}
	both := shapes.Join(wall, shapes.Flip(wall))
	cases := []struct {
		name, want string
		soup       *mesh.Triangles
	}{
		{"one wall, seen from both sides", "encloses nothing", shapes.Join(both, shapes.Move(both, shapes.Vec{Z: 5}))},
		{"a cube, and six faces apart", "loose sheets", shapes.Join(shapes.Move(shapes.Cube(10), shapes.Vec{X: 50}), apart(shapes.Cube(30)))},
		{"patches apart", "guesswork", shapes.Shatter(finer(shapes.Cube(30)), 16, 1, 1)},
	}
	for _, c := range cases {
		assert.Contains(t, take(t, c.soup, "filling").Undecided, c.want, c.name)
	}
}

// apart moves every pair of triangles on its own.
func apart(s *mesh.Triangles) *mesh.Triangles {
	out := new(mesh.Triangles)
	for i := 0; i < len(s.Corners); i += 6 {
		shift := shapes.Vec{X: float64(i%5) - 2, Y: float64(i%7) - 3, Z: float64(i % 3)}
		out = shapes.Join(out, shapes.Move(&mesh.Triangles{Corners: s.Corners[i : i+6]}, shift))
	}
	return out
}

// What is plain to see is not undecided: bodies in one another, hundreds of shells, and
// a surface of which a flat end was never drawn.
func TestUntidyIsNotUndecided(t *testing.T) {
	crowd := new(mesh.Triangles)
	for i := range 400 {
		crowd = shapes.Join(crowd, shapes.Move(shapes.Cube(4), shapes.Vec{X: float64(i%20) * 3.1, Y: float64(i/20) * 3.3}))
	}
	plate := shapes.Slab(3)
	bare := &mesh.Triangles{}
	for i := 0; i < len(plate.Corners); i += 3 {
		if c := plate.Corners[i : i+3]; c[0][2] != 0 || c[1][2] != 0 || c[2][2] != 0 {
			bare.Corners = append(bare.Corners, c...)
		}
	}
	for name, s := range map[string]*mesh.Triangles{
		"hundreds of shells": crowd, "figure": shapes.Figure(), "inside out": shapes.Flip(shapes.Figure()), "plate without an underside": bare,
	} {
		k := tell(t, s)
		assert.Empty(t, k.undecided, name)
		assert.Equal(t, name == "figure" || name == "inside out", k.fails(), "%s: %+v", name, k)
	}
}
