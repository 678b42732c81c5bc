package cut

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

func meter(t *testing.T) *work.Meter { return work.Of(t.Context()) }

// solids are cut at many heights.
func solids() map[string]*mesh.Triangles {
	comb := shapes.Polygon{{0, 0}, {30, 0}, {30, 20}, {25, 20}, {25, 5}, {20, 5}, {20, 20}, {15, 20}, {15, 5}, {5, 5}, {5, 20}, {0, 20}}
	feet := shapes.Box(shapes.Vec{Z: 6}, shapes.Vec{X: 30, Y: 20, Z: 16})
	for i := range 5 {
		x, y := float64(6*i), float64(12*(i%2))
		feet = shapes.Join(feet, shapes.Box(shapes.Vec{X: x, Y: y, Z: 0.2 * float64(i)}, shapes.Vec{X: x + 4, Y: y + 4, Z: 8}))
	}
	return map[string]*mesh.Triangles{
		"ball":         shapes.Icosphere(12, 3),
		"comb":         shapes.Prism(comb, 0, 20),
		"comb, turned": shapes.Turn(shapes.Prism(comb, 0, 20), shapes.Vec{X: 1, Y: 2, Z: 3}, 37),
		"many holes":   shapes.Prism(shapes.Rect(0, 0, 40, 40), 0, 9, shapes.Ring(8, 8, 3, 12), shapes.Ring(20, 9, 5, 17), shapes.Ring(30, 30, 7, 24), shapes.Ring(10, 29, 6, 31)),
		"torus":        shapes.Torus(15, 5, 40, 24),
		"torus, stood": shapes.Turn(shapes.Torus(15, 5, 40, 24), shapes.X, 70),
		"hollow":       shapes.HollowBox(20, 2),
		"knobbly":      shapes.NoisyBall(15, 4, 4, 3),
		"gyroid":       shapes.Gyroid(12),
		"five feet":    feet,
		"subdivided":   shapes.Split4(shapes.Split4(shapes.T())),
		"far table":    shapes.Move(shapes.Table(), shapes.Vec{X: 1e3, Y: -400, Z: 70}),
	}
}

// TestThePiecesAddUp: both are closed, meet in the plane, add up to the whole, and the cap
// covers the section once.
func TestThePiecesAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 1))
	for name, s := range solids() {
		m := mesh.Weld(s)
		require.True(t, m.Topology().Closed(), name)
		box, whole := m.Box(), m.Volume()
		for range 12 {
			z := float64(float32(box.Min.Z + r.Float64()*(box.Max.Z-box.Min.Z)))
			above, err := Above(meter(t), m, z)
			require.NoError(t, err, "%s at %v", name, z)
			below, err := half(meter(t), m, z, -1)
			require.NoError(t, err, "%s at %v", name, z)
			assert.InEpsilon(t, whole, above.Volume()+below.Volume(), 1e-6, "%s at %v", name, z)
			area := Sections(m, []float64{z})[0].Area
			assert.Equal(t, z, above.Box().Min.Z)
			assert.Equal(t, z, below.Box().Max.Z)
			for _, half := range []*mesh.Mesh{above, below} {
				assert.True(t, half.Topology().Closed(), "%s at %v", name, z)
				assert.InDelta(t, area, capArea(half, z), 1e-6*box.Size().X*box.Size().Y, "%s at %v", name, z)
			}
		}
	}
}

// TestVolumesByAnotherFormula: what lies below a plane is the area of the sections added up over
// the height, which between two corners of the surface are a quadratic function of it, so that
// two places each add up exactly (Gauss and Legendre).
func TestVolumesByAnotherFormula(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 2))
	for _, name := range []string{"ball", "comb, turned", "torus, stood", "hollow", "five feet", "many holes"} {
		m := mesh.Weld(solids()[name])
		box := m.Box()
		z := float64(float32(box.Min.Z + (0.2+0.6*r.Float64())*(box.Max.Z-box.Min.Z)))
		_, below, err := Apart(meter(t), m, z)
		require.NoError(t, err, "%s at %v", name, z)
		all := append(slices.DeleteFunc(levels(m), func(l float64) bool { return l > z }), z)
		slices.Sort(all)
		var at, share []float64
		for i, high := range all[1:] {
			low := all[i]
			middle, half := (low+high)/2, (high-low)/2
			at = append(at, middle-half/math.Sqrt(3), middle+half/math.Sqrt(3))
			share = append(share, half, half)
		}
		sum := 0.0
		for i, s := range Sections(m, at) {
			sum += share[i] * s.Area
		}
		assert.InEpsilon(t, sum, below.Volume(), 1e-6, "%s at %v", name, z)
	}
}

// capArea adds up the triangles in the plane.
func capArea(m *mesh.Mesh, z float64) float64 {
	sum := 0.0
	for i := range m.Tris {
		if a, b, c := m.Corners(i); a.Z == z && b.Z == z && c.Z == z {
			sum += m.Normal(i).Len() / 2
		}
	}
	return sum
}

// TestSectionsByFormula: a sphere's sections are circles, but for what its facets leave out; a
// hollow box leaves a frame.
func TestSectionsByFormula(t *testing.T) {
	const r = 20.0
	ball := mesh.Weld(shapes.Move(shapes.Icosphere(r, 6), shapes.Vec{Z: r}))
	heights := []float64{0.25, 0.5, 1, 2, 20}
	for i, s := range Sections(ball, heights) {
		h := heights[i]
		assert.InEpsilon(t, math.Pi*h*(2*r-h), s.Area, 0.01, "at %v", h)
		assert.InEpsilon(t, 2*math.Pi*math.Sqrt(h*(2*r-h)), s.Rim, 0.01, "at %v", h)
	}
	box := mesh.Weld(shapes.HollowBox(20, 2))
	z := box.Box().Min.Z
	for i, want := range []Section{{400, 80}, {400 - 256, 80 + 64}, {}} {
		got := Sections(box, []float64{z + 1, z + 10, z + 21})[i]
		assert.InDelta(t, want.Area, got.Area, 1e-4)
		assert.InDelta(t, want.Rim, got.Rim, 1e-4)
	}
}

// TestThroughLevelFaces: a plane in which faces of the model lie leaves no cap back to back
// with them.
func TestThroughLevelFaces(t *testing.T) {
	m := mesh.Weld(shapes.T()) // a post below a plate
	for _, z := range levels(m) {
		above, err := Above(meter(t), m, z)
		require.NoError(t, err)
		below, err := half(meter(t), m, z, -1)
		require.NoError(t, err)
		assert.InEpsilon(t, m.Volume(), above.Volume()+below.Volume(), 1e-6, "at %v", z)
		for _, half := range []*mesh.Mesh{above, below} {
			if len(half.Tris) == 0 {
				continue
			}
			assert.True(t, half.Topology().Closed())
			assert.Less(t, capArea(half, z), 1e-6+math.Max(Sections(m, []float64{z - 1e-3})[0].Area, Sections(m, []float64{z + 1e-3})[0].Area))
		}
	}
}

func levels(m *mesh.Mesh) []float64 {
	var list []float64
	seen := map[float32]bool{}
	for _, v := range m.Verts {
		if !seen[v[2]] {
			seen[v[2]] = true
			list = append(list, float64(v[2]))
		}
	}
	return list
}

// TestBodiesThatOverlap: each is closed on its own.
func TestBodiesThatOverlap(t *testing.T) {
	m := mesh.Weld(shapes.Join(shapes.Icosphere(10, 3), shapes.Move(shapes.Icosphere(10, 3), shapes.Vec{X: 7, Y: 1})))
	above, err := Above(meter(t), m, -9)
	require.NoError(t, err)
	below, err := half(meter(t), m, -9, -1)
	require.NoError(t, err)
	assert.True(t, above.Topology().Closed())
	assert.InEpsilon(t, m.Volume(), above.Volume()+below.Volume(), 1e-6)
}

// TestOutlinesThatCrossAreRefused: a surface that runs through itself has no section that
// triangles fill once.
func TestOutlinesThatCrossAreRefused(t *testing.T) {
	eight := outline{{0, 0, 0}, {10, 10, 1}, {10, 0, 2}, {0, 9, 3}}
	tally := meter(t).Tally()
	_, err := triangulate(eight, nil, &tally)
	assert.ErrorIs(t, err, ErrSection)
}

// TestCuttingStops where the limit of work is used up.
func TestCuttingStops(t *testing.T) {
	m := mesh.Weld(shapes.Icosphere(10, 4))
	_, err := Above(work.Of(t.Context()).Part(1000), m, 0)
	assert.ErrorIs(t, err, work.ErrTooMuch)
}
