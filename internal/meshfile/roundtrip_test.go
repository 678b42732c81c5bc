package meshfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// forms are the writers of the tests, one for each format.
var forms = []struct {
	name  string
	write func([]mesh.Point) []byte
}{
	{"a.stl", writeBinarySTL},
	{"b.stl", writeASCIISTL},
	{"c.obj", writeOBJ},
	{"d.ply", writePLY},
	{"e.ply", writeLittlePLY},
	{"f.ply", writeBigPLY},
	{"g.off", writeOFF},
	{"h.3mf", write3MF},
	{"i.amf", writeAMF},
	{"j.amf", writePackedAMF},
}

// TestFormatsAgree holds that a model is the same triangles, in the same order and to
// the last bit, whatever it is stored in.
func TestFormatsAgree(t *testing.T) {
	ring := torus(31, 23)
	ring = append(ring, mesh.Point{1e-7, -1e7, 3}, mesh.Point{1, 1, 1}, mesh.Point{1, 1, 1}) // without area, kept
	for _, f := range forms {
		parts, err := read(f.name, f.write(ring))
		require.NoError(t, err)
		require.Len(t, parts, 1)
		assert.Equal(t, ring, parts[0].Triangles.Corners, f.name)
		again, err := read(f.name, f.write(parts[0].Triangles.Corners))
		require.NoError(t, err)
		assert.Equal(t, parts, again, f.name)
	}
}
