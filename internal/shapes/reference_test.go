package shapes

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/unixpickle/model3d/model3d"

	"printlint/internal/mesh"
)

// reference hands the body to another mesh library, github.com/unixpickle/model3d
// v0.4.5, through binary STL, so that the writer is checked along with the shape.
func reference(t *testing.T, s *mesh.Triangles) *model3d.Mesh {
	t.Helper()
	var file bytes.Buffer
	require.NoError(t, WriteBinarySTL(&file, s, "reference"))
	triangles, err := model3d.ReadSTL(&file)
	require.NoError(t, err)
	require.Len(t, triangles, s.Count())
	return model3d.NewMeshTriangles(triangles)
}

// single is every case that is one clean shell, so that the other library can be
// asked whether it needs repair and cuts itself.
var single = map[string]func() *mesh.Triangles{
	"cube":          func() *mesh.Triangles { return Cube(20) },
	"T":             T,
	"portal":        func() *mesh.Triangles { return Portal(30) },
	"four posts":    FourPosts,
	"table":         Table,
	"roofed box":    RoofedBox,
	"signpost":      Signpost,
	"channels":      func() *mesh.Triangles { return Channels(20, 15) },
	"gates":         Gates,
	"arm":           func() *mesh.Triangles { return LeaningArm(60, 20) },
	"hook":          Hook,
	"M":             M,
	"hole block":    func() *mesh.Triangles { return HoleBlock(10, 32) },
	"recess":        func() *mesh.Triangles { return Recess(8, 3, 32) },
	"lip":           func() *mesh.Triangles { return Lip(0.4) },
	"fin":           func() *mesh.Triangles { return Fin(0.3) },
	"pocket":        func() *mesh.Triangles { return Pocket(0.25) },
	"slot":          func() *mesh.Triangles { return Slot(0.2) },
	"wedge":         func() *mesh.Triangles { return Wedge(15) },
	"threaded rod":  func() *mesh.Triangles { return ThreadedRod(4, 1, 8, 24) },
	"bolt":          func() *mesh.Triangles { return BoltLying(24) },
	"lid":           PatternLid,
	"sphere":        func() *mesh.Triangles { return Ball(10, 24) },
	"torus":         func() *mesh.Triangles { return Torus(10, 3, 32, 16) },
	"cone":          func() *mesh.Triangles { return Cone(10, 0, 10, 24) },
	"tube":          func() *mesh.Triangles { return Tube(5, 3, 10, 24) },
	"tetrahedron":   Tetrahedron,
	"icosphere":     func() *mesh.Triangles { return Icosphere(10, 2) },
	"noisy ball":    func() *mesh.Triangles { return NoisyBall(20, 3, 3, 1) },
	"gyroid":        func() *mesh.Triangles { return Gyroid(16) },
	"turned hook":   func() *mesh.Triangles { return Turn(Hook(), Vec{X: 1, Y: 2, Z: 3}, 37) },
	"split T":       func() *mesh.Triangles { return Split4(T()) },
	"mirrored hook": func() *mesh.Triangles { return Mirror(Hook()) },
}

func TestAnotherLibraryFindsNoFault(t *testing.T) {
	for name, make := range single {
		t.Run(name, func(t *testing.T) {
			s := make()
			m := reference(t, s)
			assert.False(t, m.NeedsRepair(), "open or shared edges")
			assert.Empty(t, m.SingularVertices(), "corners where surfaces touch")
			assert.True(t, m.Orientable())
			assert.Empty(t, m.InconsistentEdges())
			assert.Zero(t, m.SelfIntersections())
			assert.InEpsilon(t, volume(s), m.Volume(), 1e-5)
			assert.InEpsilon(t, area(s), m.Area(), 1e-5)
		})
	}
}

func TestSameSolidsFromAnotherLibrary(t *testing.T) {
	pairs := []struct {
		name   string
		ours   *mesh.Triangles
		theirs *model3d.Mesh
	}{
		{"box", Box(Vec{X: 1, Y: 2, Z: 3}, Vec{X: 5, Y: 7, Z: 11}), model3d.NewMeshRect(model3d.XYZ(1, 2, 3), model3d.XYZ(5, 7, 11))},
		{"cylinder", Cylinder(4, 9, 40), model3d.NewMeshCylinder(model3d.Z(0), model3d.Z(9), 4, 40)},
		{"cylinder along x", CylinderX(4, 9, 40), model3d.NewMeshCylinder(model3d.X(0), model3d.X(9), 4, 40)},
		{"cone", Cone(4, 0, 9, 40), model3d.NewMeshCone(model3d.Z(9), model3d.Z(0), 4, 40)},
		{"torus", Torus(10, 3, 40, 24), model3d.NewMeshTorus(model3d.Coord3D{}, model3d.Z(1), 3, 10, 24, 40)},
	}
	for _, p := range pairs {
		t.Run(p.name, func(t *testing.T) {
			assert.InEpsilon(t, p.theirs.Volume(), volume(p.ours), 1e-5)
			assert.InEpsilon(t, p.theirs.Area(), area(p.ours), 1e-5)
		})
	}
}
