package meshfile

import (
	"archive/zip"
	"bytes"
	"path"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// checkTurned turns any bytes: a clear error, or a file that reads again to the same
// triangles, where they should lie.
func checkTurned(t *testing.T, name string, data []byte) {
	rotation := [9]float64{0, 0, 1, 0.6, 0.8, 0, -0.8, 0.6, 0}
	var out bytes.Buffer
	if err := WriteTurned(&out, name, bytes.NewReader(data), rotation); err != nil {
		require.Zero(t, out.Len())
		return
	}
	want := turnedCorners(cornersIn(t, name, data), rotation)
	got := cornersIn(t, name, out.Bytes())
	require.Len(t, got, len(want))
	if ext := path.Ext(name); ext == ".obj" || ext == ".ply" {
		return // a turn may cut polygons that are not flat along another diagonal
	}
	size := mesh.EmptyBox()
	for _, v := range want {
		size.Include(v)
	}
	far := max(-size.Min.X, -size.Min.Y, size.Max.X, size.Max.Y, size.Max.Z, 1)
	for i, p := range got {
		q := mesh.Of64(p)
		d := mesh.Vec{X: q.X - want[i].X, Y: q.Y - want[i].Y, Z: q.Z - want[i].Z}
		require.LessOrEqual(t, d.Dot(d), 1e-10*far*far, "corner %d is at %v, not %v", i, q, want[i])
	}
}

func fuzzTurned(f *testing.F, ext string) {
	for _, s := range seeds(ext) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) { checkTurned(t, "fuzz"+ext, data) })
}

func FuzzTurnSTL(f *testing.F) { fuzzTurned(f, ".stl") }

func FuzzTurnOBJ(f *testing.F) { fuzzTurned(f, ".obj") }

func FuzzTurnPLY(f *testing.F) { fuzzTurned(f, ".ply") }

// FuzzTurnThreeMF changes the model inside an archive that is sound.
func FuzzTurnThreeMF(f *testing.F) {
	for _, m := range models3MF() {
		f.Add(m.data)
	}
	child := model3MF(object3MF(1, "", tetra), "")
	f.Fuzz(func(t *testing.T, model string) {
		files := []entry{{"_rels/.rels", relations("/3D/3dmodel.model")}, {"3D/3dmodel.model", model}, {"3D/child.model", child}}
		checkTurned(t, "fuzz.3mf", writeZipBy(zip.Store, files...))
	})
}
