package cli

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestProposalsOnBadModels: whatever the model is, each piece that is written is closed, all of
// them add up to the model, and each is found as it was promised.
func TestProposalsOnBadModels(t *testing.T) {
	far := mesh.Vec{X: 4000, Y: -900, Z: 70}
	bed := "process: {bed: [100 mm, 100 mm, 100 mm]}\n"
	for name, c := range map[string]struct {
		solid  *mesh.Triangles
		config string
	}{
		"open":                {shapes.DropTriangles(shapes.Join(cross(), cross()), 3, 1), ""},
		"a side turned":       {shapes.FlipTriangles(cross(), 2, 1), ""},
		"inside out":          {shapes.Flip(cross()), ""},
		"crossing":            {shapes.Join(cross(), shapes.Turn(cross(), shapes.Z, 30)), ""},
		"shells in shells":    {shapes.Join(shapes.HollowSphere(20, 5, 12), shapes.HollowSphere(9, 3, 12)), ""},
		"hollow cross":        {shapes.Join(cross(), shapes.Flip(shapes.Cube(2))), ""},
		"large in two ways":   {shapes.Box(mesh.Vec{}, mesh.Vec{X: 180, Y: 190, Z: 20}), bed},
		"far away":            {shapes.Move(cross(), far), ""},
		"octahedron":          {shapes.Scale(shapes.Icosahedron(), 20), ""},
		"torus on edge":       {shapes.OnBed(shapes.Turn(shapes.Torus(20, 6, 24, 16), shapes.X, 90)), ""},
		"many bodies":         {shapes.Floating(9, 8, 12), ""},
		"finely divided":      {shapes.Split4(shapes.Split4(cross())), ""},
		"two that only touch": {shapes.Join(shapes.T(), shapes.Move(shapes.T(), mesh.Vec{X: 50})), ""},
	} {
		t.Run(name, func(t *testing.T) {
			a, pieces, told := splitOf(t, c.solid, c.config)
			assert.NotContains(t, told, "was promised")
			if len(pieces) == 0 {
				return
			}
			sum := 0.0
			for i, m := range pieces {
				assert.True(t, m.Topology().Closed())
				assert.Contains(t, told, fmt.Sprintf("m-%d.stl: written from ", i+1))
				sum += m.Volume()
			}
			assert.NotEmpty(t, a.Split.Words)
			if m := mesh.Weld(c.solid); m.Topology().Closed() {
				assert.InEpsilon(t, math.Abs(volumeAlongX(m)), sum, 1e-6)
			}
		})
	}
}

// volumeAlongX is the volume as prisms between the surface and the plane x = its lowest.
func volumeAlongX(m *mesh.Mesh) float64 {
	sum, low := 0.0, m.Box().Min.X
	for i := range m.Tris {
		a, b, c := m.Corners(i)
		sum += m.Normal(i).X / 2 * ((a.X+b.X+c.X)/3 - low)
	}
	return sum
}

// TestNoProposalWithoutASolid: what cannot be judged is not cut, and it is said why.
func TestNoProposalWithoutASolid(t *testing.T) {
	sheet := &mesh.Triangles{Corners: cross().Corners[:18]}
	for why, solid := range map[string]*mesh.Triangles{
		"it is 0.0103 mm high, no more than half a layer":   shapes.Scale(cross(), 0.01/60),
		"it is 2067 mm long, far larger than the bed":       shapes.Scale(cross(), 2000/60.),
		"its surface has holes up to":                       sheet,
		"its surface encloses nothing that fills any layer": shapes.Join(sheet, shapes.Flip(sheet)),
	} {
		dir := t.TempDir()
		code, out, _ := run(t, Env{}, "advise", "--write", filepath.Join(dir, "out"), "--cut", saveSTL(t, dir, "m.stl", solid))
		assert.Equal(t, 2, code)
		assert.Contains(t, out, why)
		_, err := os.Stat(filepath.Join(dir, "out"))
		assert.ErrorIs(t, err, os.ErrNotExist)
	}
}

// TestTooManyPieces: where the bed is too small for few pieces, that is said.
func TestTooManyPieces(t *testing.T) {
	a, pieces, _ := splitOf(t, shapes.Box(mesh.Vec{}, mesh.Vec{X: 290, Y: 290, Z: 20}), "process: {bed: [100 mm, 100 mm, 100 mm]}\n")
	assert.Nil(t, a.Split)
	assert.Empty(t, pieces)
	assert.Contains(t, a.Words, "; to fit the bed it would have to be cut in 9 pieces, more than the 8 that are looked for")
}
