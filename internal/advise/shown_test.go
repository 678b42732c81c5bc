package advise

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestPiecesAreShownWhereTheyWere: in the file's own frame the pieces fill the model, each on its
// side of the plane, and laid they stand on the bed.
func TestPiecesAreShownWhereTheyWere(t *testing.T) {
	solid := shapes.Move(shapes.Signpost(), mesh.Vec{X: 7, Y: -3, Z: 5})
	a := adviceOn(t, solid)
	require.NotNil(t, a.Split)
	require.Len(t, a.Split.Planes, 1)
	whole := mesh.Weld(solid)
	laid, inPlace, err := Shown(context.Background(), whole, a.Split)
	require.NoError(t, err)
	require.Len(t, inPlace, len(a.Split.Pieces))
	plane := a.Split.Planes[0]
	box, volume := mesh.EmptyBox(), 0.0
	for i, m := range inPlace {
		for _, v := range m.Verts {
			side := mesh.VecOf(plane.Normal).Dot(mesh.Of64(v)) - plane.Offset
			assert.GreaterOrEqual(t, []float64{side, -side}[i], -0.02, "the first piece is the one that the normal points at")
			box.Include(mesh.Of64(v))
		}
		volume += m.Volume()
		assert.InEpsilon(t, m.Volume(), laid[i].Volume(), 1e-5)
		assert.InDelta(t, 0, laid[i].Box().Min.Z, 1e-5)
		assert.InDelta(t, a.Split.Pieces[i].Size[2], laid[i].Box().Size().Z, 0.01)
	}
	assert.InEpsilon(t, whole.Volume(), volume, 1e-5)
	want := whole.Box()
	assert.InDelta(t, 0, box.Min.Sub(want.Min).Len(), 1e-4)
	assert.InDelta(t, 0, box.Max.Sub(want.Max).Len(), 1e-4)
}

// TestSolidsComeWithTheirShape: what pictures draw has the volume that is told, up to where it
// reaches into the model.
func TestSolidsComeWithTheirShape(t *testing.T) {
	a := adviceOn(t, shapes.Signpost())
	require.NotNil(t, a.Edits)
	for _, e := range a.Edits.List {
		solid := &mesh.Triangles{}
		for _, p := range e.Solid {
			solid.Corners = append(solid.Corners, p)
		}
		m := mesh.Weld(solid)
		assert.True(t, m.Topology().Closed())
		assert.InEpsilon(t, e.Volume, m.Volume(), 0.05)
	}
}
