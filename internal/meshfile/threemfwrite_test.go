package meshfile

import (
	"bytes"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestWritten3MFReadsBack holds what is written against this reader and against a library.
func TestWritten3MFReadsBack(t *testing.T) {
	models := []Named{{"one <&> \"1\"", mesh.Weld(shapes.T())}, {"two", mesh.Weld(shapes.Sphere(7.3, 16))}}
	var out, again bytes.Buffer
	require.NoError(t, Write3MF(&out, models))
	require.NoError(t, Write3MF(&again, models))
	assert.Equal(t, out.Bytes(), again.Bytes())

	parts, err := read("a.3mf", out.Bytes())
	require.NoError(t, err)
	require.Len(t, parts, 2)
	library := byLibrary(t, out.Bytes())
	require.NoError(t, library.Validate())
	for i, m := range models {
		assert.Equal(t, m.Name, parts[i].Name)
		assert.Empty(t, parts[i].Notes)
		var want []mesh.Point
		for _, tri := range m.Mesh.Tris {
			want = append(want, m.Mesh.Verts[tri[0]], m.Mesh.Verts[tri[1]], m.Mesh.Verts[tri[2]])
		}
		assert.Equal(t, want, parts[i].Triangles.Corners)
		assert.Equal(t, m.Name, library.Resources.Objects[i].Name)
		assert.Len(t, library.Resources.Objects[i].Mesh.Triangles.Triangle, len(m.Mesh.Tris))
	}
}

// fullDisk takes so many bytes and no more.
type fullDisk struct{ room int }

func (f *fullDisk) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errors.New("no space left")
	}
	return len(p), nil
}

// TestNo3MFOnAFullDisk holds that a write that fails is told, wherever it does.
func TestNo3MFOnAFullDisk(t *testing.T) {
	models := []Named{{"one", mesh.Weld(shapes.Sphere(20, 64))}}
	var out bytes.Buffer
	require.NoError(t, Write3MF(&out, models))
	for room := 0; room < out.Len(); room += 1 + out.Len()/50 {
		assert.ErrorContains(t, Write3MF(&fullDisk{room}, models), "writing 3MF: no space left")
	}
}
