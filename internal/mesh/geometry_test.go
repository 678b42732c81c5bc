package mesh_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/unixpickle/model3d/model3d"

	"printlint/internal/mesh"
	"printlint/internal/mesh/meshtest"
)

func vec(x, y, z float64) mesh.Vec { return mesh.Vec{X: x, Y: y, Z: z} }

func cube(side float64) *mesh.Soup { return meshtest.Box(vec(0, 0, 0), vec(side, side, side)) }

// slack is what rounding every coordinate to float32 may change: each of the three
// factors of a volume by one part in 2^24, taken five times over for the sum.
const slack = 15 * 0x1p-24

// Closed forms: Coxeter, Regular Polytopes, table I, for the regular solids; Pappus's
// theorems for the torus; n/2 sin(2 pi/n) r^2 h for the prism.
func TestAreaAndVolumeOfKnownSolids(t *testing.T) {
	for _, c := range []struct {
		name         string
		soup         *mesh.Soup
		volume, area float64
		loose        float64
	}{
		{"cube 20", cube(20), 8000, 2400, slack},
		{"cube far from the origin", meshtest.Box(vec(5000, -7000, 900), vec(5020, -6980, 920)), 8000, 2400, slack},
		{"tetrahedron", meshtest.Tetrahedron(1), math.Sqrt2 / 12, math.Sqrt(3), slack},
		{"icosahedron", meshtest.Icosahedron(1), 5 * (3 + math.Sqrt(5)) / 12, 5 * math.Sqrt(3), slack},
		{"prism of 16", meshtest.Prism(16, 5, 10), .974495 * 250 * math.Pi, 0, 1e-6},
		{"prism of 32", meshtest.Prism(32, 5, 10), .993587 * 250 * math.Pi, 0, 1e-6},
		{"prism of 64", meshtest.Prism(64, 5, 10), .998394 * 250 * math.Pi, 0, 1e-6},
		{"prism of 128", meshtest.Prism(128, 5, 10), .999598 * 250 * math.Pi, 0, 1e-6},
		{"torus", meshtest.Torus(10, 3, 400, 200), 1776.529, 1184.353, 3e-4},
		{"corner tetrahedron", meshtest.FromFaces([]mesh.Vec{{}, {X: 1}, {Y: 1}, {Z: 1}},
			[][]int{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}}), 1. / 6, 1.5 + math.Sqrt(3)/2, slack},
	} {
		m := mesh.Weld(c.soup)
		assert.InEpsilon(t, c.volume, m.Volume(), c.loose, c.name)
		if c.area > 0 {
			assert.InEpsilon(t, c.area, m.Area(), c.loose, c.name)
		}
		assert.InEpsilon(t, -c.volume, mesh.Weld(meshtest.Flip(c.soup)).Volume(), c.loose, c.name+" flipped")
		topology := m.Topology()
		assert.True(t, topology.Closed(), c.name)
		assert.Len(t, topology.Shells, 1, c.name)
	}
}

func TestDocumentedFigures(t *testing.T) {
	assert.InDelta(t, .117851, mesh.Weld(meshtest.Tetrahedron(1)).Volume(), 1e-6)
	ico := mesh.Weld(meshtest.Icosahedron(1))
	assert.InDelta(t, 2.181695, ico.Volume(), 1e-6)
	assert.InDelta(t, 8.660254, ico.Area(), 2e-6)
}

// An unrelated library must agree on area and volume.
func TestAgainstModel3d(t *testing.T) {
	for name, soup := range map[string]*mesh.Soup{
		"gyroid": meshtest.Gyroid(20, 2, 24), "torus": meshtest.Torus(10, 3, 60, 30),
		"sphere": meshtest.Sphere(7, 3), "wedge": meshtest.Wedge(20, 10, 5),
	} {
		m := mesh.Weld(soup)
		peer := model3d.NewMesh()
		for i := range m.Tris {
			a, b, c := m.Corners(i)
			peer.Add(&model3d.Triangle{model3d.XYZ(a.X, a.Y, a.Z), model3d.XYZ(b.X, b.Y, b.Z), model3d.XYZ(c.X, c.Y, c.Z)})
		}
		require.False(t, peer.NeedsRepair(), name)
		assert.InEpsilon(t, peer.Volume(), m.Volume(), 1e-9, name)
		assert.InEpsilon(t, peer.Area(), m.Area(), 1e-9, name)
	}
}

func TestBoxAndCentroid(t *testing.T) {
	m := mesh.Weld(meshtest.Box(vec(-1, 2, 3), vec(4, 6, 5)))
	assert.Equal(t, mesh.Box{Min: vec(-1, 2, 3), Max: vec(4, 6, 5)}, m.Box())
	assert.Equal(t, vec(1.5, 4, 4), m.Centroid())
	empty := &mesh.Mesh{}
	assert.Equal(t, mesh.EmptyBox(), empty.Box())
	assert.Equal(t, mesh.Vec{}, empty.Centroid())
	assert.Zero(t, empty.Volume())
	assert.Zero(t, empty.Area())
}

func TestPosedIsDroppedAndMapsBack(t *testing.T) {
	m := mesh.Weld(meshtest.Box(vec(1, 2, 3), vec(4, 6, 8)))
	s, c := math.Sincos(30 * math.Pi / 180)
	posed, place := m.Posed([9]float64{1, 0, 0, 0, c, -s, 0, s, c})
	assert.InDelta(t, 0, posed.Box().Min.Z, 0)
	assert.InEpsilon(t, m.Volume(), posed.Volume(), slack)
	assert.Equal(t, m.Tris, posed.Tris)
	for i, p := range posed.Verts {
		back := place.Back(mesh.Of64(p))
		assert.InDelta(t, 0, back.Sub(mesh.Of64(m.Verts[i])).Len(), 1e-5)
		assert.InDelta(t, 0, place.To(back).Sub(mesh.Of64(p)).Len(), 1e-12)
	}
	box := place.BackBox(posed.Box())
	for _, p := range m.Verts {
		inside := box.Grow(1e-5)
		v := mesh.Of64(p)
		assert.True(t, v.X > inside.Min.X && v.Y > inside.Min.Y && v.Z > inside.Min.Z &&
			v.X < inside.Max.X && v.Y < inside.Max.Y && v.Z < inside.Max.Z)
	}
	assert.Equal(t, mesh.EmptyBox(), place.BackBox(mesh.EmptyBox()))
}

func TestPosedAsItLiesSharesEverything(t *testing.T) {
	m := mesh.Weld(cube(2))
	posed, place := m.Posed(mesh.Identity)
	assert.Same(t, m, posed)
	assert.Zero(t, place.Drop)
	high := mesh.Weld(meshtest.Box(vec(0, 0, 5), vec(1, 1, 6)))
	posed, place = high.Posed(mesh.Identity)
	assert.Equal(t, 5., place.Drop)
	assert.Equal(t, 0., posed.Box().Min.Z)
	assert.Equal(t, 5., high.Box().Min.Z, "the original must stay as it was")
}
