package mesh_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/unixpickle/model3d/model3d"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func vec(x, y, z float64) mesh.Vec { return mesh.Vec{X: x, Y: y, Z: z} }

func cube(side float64) *mesh.Triangles { return shapes.Box(vec(0, 0, 0), vec(side, side, side)) }

func add(s *mesh.Triangles, corners ...mesh.Vec) {
	for _, v := range corners {
		s.Corners = append(s.Corners, mesh.Point{float32(v.X), float32(v.Y), float32(v.Z)})
	}
}

// slack is what rounding every coordinate to float32 may change: each of the three
// factors of a volume by one part in 2^24, taken five times over for the sum.
const slack = 15 * 0x1p-24

// Closed forms: Coxeter, Regular Polytopes, table I, for the regular solids; Pappus's
// theorems for the torus; n/2 sin(2 pi/n) r^2 h for the prism.
func TestAreaAndVolumeOfKnownSolids(t *testing.T) {
	o, x, y, z := vec(0, 0, 0), vec(1, 0, 0), vec(0, 1, 0), vec(0, 0, 1)
	corner := &mesh.Triangles{}
	add(corner, o, y, x, o, x, z, o, z, y, x, y, z)
	for _, c := range []struct {
		name         string
		triangles    *mesh.Triangles
		volume, area float64
		loose        float64
	}{
		{"cube 20", cube(20), 8000, 2400, slack},
		{"cube far from the origin", shapes.Box(vec(5000, -7000, 900), vec(5020, -6980, 920)), 8000, 2400, slack},
		{"tetrahedron", shapes.Tetrahedron(), math.Sqrt2 / 12, math.Sqrt(3), slack},
		{"icosahedron", shapes.Icosahedron(), 5 * (3 + math.Sqrt(5)) / 12, 5 * math.Sqrt(3), slack},
		{"prism of 16", shapes.Cylinder(5, 10, 16), .974495 * 250 * math.Pi, 0, 1e-6},
		{"prism of 32", shapes.Cylinder(5, 10, 32), .993587 * 250 * math.Pi, 0, 1e-6},
		{"prism of 64", shapes.Cylinder(5, 10, 64), .998394 * 250 * math.Pi, 0, 1e-6},
		{"prism of 128", shapes.Cylinder(5, 10, 128), .999598 * 250 * math.Pi, 0, 1e-6},
		{"torus", shapes.Torus(10, 3, 400, 200), 1776.529, 1184.353, 3e-4},
		{"corner tetrahedron", corner, 1. / 6, 1.5 + math.Sqrt(3)/2, slack},
	} {
		m := mesh.Weld(c.triangles)
		assert.InEpsilon(t, c.volume, m.Volume(), c.loose, c.name)
		if c.area > 0 {
			assert.InEpsilon(t, c.area, m.Area(), c.loose, c.name)
		}
		assert.InEpsilon(t, -c.volume, mesh.Weld(shapes.Flip(c.triangles)).Volume(), c.loose, c.name+" flipped")
		topology := m.Topology()
		assert.True(t, topology.Closed(), c.name)
		assert.Len(t, topology.Shells, 1, c.name)
	}
}

func TestDocumentedFigures(t *testing.T) {
	assert.InDelta(t, .117851, mesh.Weld(shapes.Tetrahedron()).Volume(), 1e-6)
	ico := mesh.Weld(shapes.Icosahedron())
	assert.InDelta(t, 2.181695, ico.Volume(), 1e-6)
	assert.InDelta(t, 8.660254, ico.Area(), 2e-6)
}

// An unrelated library must agree on area and volume.
func TestAgainstModel3d(t *testing.T) {
	for name, triangles := range map[string]*mesh.Triangles{
		"gyroid": shapes.Gyroid(24), "torus": shapes.Torus(10, 3, 60, 30),
		"sphere": shapes.Icosphere(7, 3), "wedge": shapes.Wedge(20),
	} {
		m := mesh.Weld(triangles)
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
	m := mesh.Weld(shapes.Box(vec(-1, 2, 3), vec(4, 6, 5)))
	assert.Equal(t, mesh.Box{Min: vec(-1, 2, 3), Max: vec(4, 6, 5)}, m.Box())
	assert.Equal(t, vec(1.5, 4, 4), m.Centroid())
	empty := &mesh.Mesh{}
	assert.Equal(t, mesh.EmptyBox(), empty.Box())
	assert.Equal(t, mesh.Vec{}, empty.Centroid())
	assert.Zero(t, empty.Volume())
	assert.Zero(t, empty.Area())
}

func TestPosedIsDroppedAndMapsBack(t *testing.T) {
	m := mesh.Weld(shapes.Box(vec(1, 2, 3), vec(4, 6, 8)))
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
	high := mesh.Weld(shapes.Box(vec(0, 0, 5), vec(1, 1, 6)))
	posed, place = high.Posed(mesh.Identity)
	assert.Equal(t, 5., place.Drop)
	assert.Equal(t, 0., posed.Box().Min.Z)
	assert.Equal(t, 5., high.Box().Min.Z, "the original must stay as it was")
}
