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

// cup is a box of 14 mm with a hole of 10 x 10 x depth mm in its top.
func cup(depth float64) *mesh.Triangles {
	return shapes.Blocks([]float64{0, 2, 12, 14}, []float64{0, 2, 12, 14}, []float64{0, 14 - depth, 14},
		func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 })
}

func TestCavityOfExactShapes(t *testing.T) {
	lid := shapes.Box(shapes.Vec{Z: 13}, shapes.Vec{X: 14, Y: 14, Z: 16})
	cases := []struct {
		name         string
		soup         *mesh.Triangles
		volume, area float64
		z, height    float64
	}{
		{"hollow box", shapes.HollowBox(14, 2), 1000, 100, 2, 10},
		{"hollow ball", shapes.Move(shapes.HollowSphere(10, 2, 128), shapes.Vec{Z: 10}), 4.0 / 3 * math.Pi * 512, math.Pi * 64, 2, 16},
		{"cup with a lid pushed into it", shapes.Join(cup(10), lid), 900, 100, 4, 9},
		{"cup with a lid laid on it", shapes.Join(cup(10), shapes.Move(lid, shapes.Vec{Z: 1})), 1000, 100, 4, 10},
	}
	for _, c := range cases {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				r := take(t, v.change(c.soup), "cavity")
				require.Len(t, r.Sites, 1)
				s := r.Sites[0]
				// A cell of 0.1 mm and a layer of 0.2 mm at most on either side.
				assert.InEpsilon(t, c.volume, value(t, "cavity", s, "volume"), 0.025)
				assert.InEpsilon(t, c.area, value(t, "cavity", s, "area"), 0.025)
				assert.InDelta(t, c.z, value(t, "cavity", s, "z"), 0.2001)
				assert.InDelta(t, c.height, value(t, "cavity", s, "height"), 0.4001)
				assert.Equal(t, []float64{1, value(t, "cavity", s, "volume")}, r.Model)
				require.Len(t, s.Tris, 1)
			})
		}
	}
}

// The site's triangle is one that faces the cavity.
func TestCavityPointsAtItsWall(t *testing.T) {
	soup := shapes.HollowBox(14, 2)
	r := take(t, soup, "cavity")
	require.Len(t, r.Sites, 1)
	a, _, _ := mesh.Weld(soup).Corners(int(r.Sites[0].Tris[0]))
	assert.InDelta(t, 2, a.Z, 1e-6, "the floor of the hollow")
	assert.InDelta(t, 10, r.Sites[0].Box.Size().X, cell)
}

func TestNoCavity(t *testing.T) {
	for name, soup := range map[string]*mesh.Triangles{
		"cube":                 shapes.Cube(20),
		"open box":             cup(10),
		"tube":                 shapes.Tube(10, 8, 20, 64),
		"ring lying":           shapes.Torus(10, 3, 64, 32),
		"box with a hole":      shapes.Drilled(8, 64),
		"stacked cubes":        shapes.StackedCubes(),
		"cubes at a corner":    shapes.CubesAtCorner(),
		"hollow of 0.9 mm":     shapes.HollowBox(4, 1.55),
		"overlapping T":        shapes.TOverlapping(),
		"box with a side vent": vented(1),
	} {
		for _, v := range variants {
			r := take(t, v.change(soup), "cavity")
			assert.Empty(t, r.Sites, "%s, %s", name, v.name)
			assert.Equal(t, []float64{0, 0}, r.Model)
		}
	}
}

// vented is a hollow box of 14 mm whose cavity has a square way out through a side.
func vented(width float64) *mesh.Triangles {
	at := []float64{0, 2, 7, 7 + width, 12, 14}
	return shapes.Blocks(at, at, at, func(i, j, k int) bool {
		hollow := i > 0 && i < 4 && j > 0 && j < 4 && k > 0 && k < 4
		return !hollow && (j != 2 || k != 2 || i == 0)
	})
}

// What the bed covers is open once the print is lifted off; turned over, what was
// open at the top is the same.
func TestCavityOverTheBed(t *testing.T) {
	hood := shapes.OnBed(shapes.Turn(cup(10), shapes.X, 180))
	assert.Empty(t, take(t, hood, "cavity").Sites)
	standing := shapes.Join(hood, shapes.Box(shapes.Vec{X: -2, Y: -16, Z: -2}, shapes.Vec{X: 16, Y: 2}))
	r := take(t, standing, "cavity")
	require.Len(t, r.Sites, 1, "the same hood on a plate of its own is sealed")
	assert.InEpsilon(t, 1000, r.Model[1], 0.025)
}

// Two cavities are two sites; a wall between them that has a hole makes them one.
func TestCavitiesApartAndJoined(t *testing.T) {
	at := []float64{0, 2, 7, 9, 14, 16}
	two := func(door bool) *mesh.Triangles {
		return shapes.Blocks(at, []float64{0, 2, 4, 7, 9}, []float64{0, 2, 4, 7, 9}, func(i, j, k int) bool {
			if i == 2 {
				return !door || j != 1 || k != 2 // above the floor: they meet on the way up
			}
			return i == 0 || i == 4 || j == 0 || j == 3 || k == 0 || k == 3
		})
	}
	apart := take(t, two(false), "cavity")
	require.Len(t, apart.Sites, 2)
	for _, v := range values(t, "cavity", apart, "volume") {
		assert.InEpsilon(t, 125, v, 0.025)
	}
	joined := take(t, two(true), "cavity")
	require.Len(t, joined.Sites, 1)
	assert.InEpsilon(t, 250+2*2*3, joined.Model[1], 0.025)
}

// A surface with holes must neither crash nor seal what it cannot fill.
func TestBodiesOfOpenMeshes(t *testing.T) {
	soups := []*mesh.Triangles{shapes.HollowBox(14, 2), shapes.Table(), onPlate(bar(2, 2, 30)), shapes.Ball(10, 24)}
	for i, soup := range soups {
		for seed := uint64(1); seed <= 12; seed++ {
			for _, bad := range []*mesh.Triangles{
				shapes.DropTriangles(soup, int(seed), seed), shapes.FlipTriangles(soup, int(seed), seed), shapes.Roughen(soup, 0.3, seed),
			} {
				for _, name := range []string{"stability", "column", "cavity"} {
					r := take(t, bad, name)
					assert.Len(t, r.Model, len(find(name).definition().Model), "shape %d, seed %d", i, seed)
					for _, s := range r.Sites {
						assert.Len(t, s.Values, len(find(name).definition().Values))
						for _, v := range s.Values {
							assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%s of shape %d, seed %d: %v", name, i, seed, s.Values)
						}
					}
				}
			}
		}
	}
}

// Random stacks against a flood from block to block.
func TestCavityAgainstFlood(t *testing.T) {
	found := 0
	for seed := uint64(1); seed <= 150; seed++ {
		soup, filled := randomBlocks(seed)
		got := values(t, "cavity", take(t, soup, "cavity"), "volume")
		for i := range got {
			got[i] = math.Round(got[i] / (blockSize * blockSize * blockSize))
		}
		sort.Float64s(got)
		want := bruteCavities(filled)
		assert.Equal(t, want, got, "seed %d", seed)
		found += len(want)
	}
	assert.Greater(t, found, 20, "too few cavities to tell anything")
}
