package meshfile

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

func TestKnownGoesByExtensionInAnyCase(t *testing.T) {
	for _, name := range []string{"a.stl", "A.STL", "b/c.Obj", "pack.v2.stl", ".stl"} {
		assert.True(t, Known(name), name)
	}
	for _, name := range []string{"", "stl", "a.stl.txt", "a.step", "obj", "dir.stl/readme"} {
		assert.False(t, Known(name), name)
	}
	assert.Subset(t, Extensions(), []string{".stl", ".obj"})
}

func TestContentDecidesWhereTheNameSaysOtherwise(t *testing.T) {
	for _, c := range []struct{ name, data, kind, note string }{
		{"a.stl", string(writeBinarySTL(tetra)), "stl", ""},
		{"a.stl", string(writeASCIISTL(tetra)), "stl-ascii", ""},
		{"a.obj", string(writeOBJ(tetra)), "obj", ""},
		{"a.obj", string(writeBinarySTL(tetra)), "stl", "the content is STL, whatever the name says"},
		{"a.obj", string(writeASCIISTL(tetra)), "stl-ascii", "the content is STL, whatever the name says"},
		{"a.stl", string(writeOBJ(tetra)), "obj", "the content is OBJ, whatever the name says"},
		{"noname", string(writeOBJ(tetra)), "obj", ""},
	} {
		p := readOne(t, c.name, c.data)
		assert.Equal(t, c.kind, p.Kind)
		assert.Equal(t, 4, p.Triangles.Count())
		if c.note == "" {
			assert.Empty(t, p.Notes)
		} else {
			assert.Equal(t, []string{c.note}, p.Notes)
		}
	}
}

func TestFilesThatAreNoModel(t *testing.T) {
	pointer := "version https://git-lfs.github.com/spec/v1\noid sha256:" +
		"4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393\nsize 12345\n"
	for _, c := range []struct{ name, data, want string }{
		{"a.stl", "", "the file is empty; export or download the file again"},
		{"a.stl", pointer, "line 1: this is a git LFS pointer, the model itself was not fetched; run git lfs pull"},
		{"a.obj", pointer, "line 1: this is a git LFS pointer, the model itself was not fetched; run git lfs pull"},
		{"a.stl", "\n <!DOCTYPE html>\n<html>", "line 1: this is a web page, not a model; download the file itself, not the page that shows it"},
		{"a.obj", "\xef\xbb\xbf<html lang=en>", "line 1: this is a web page, not a model; download the file itself, not the page that shows it"},
		{"a.stl", "\x1f\x8b\x08\x00", "this is a gzip archive; unpack it first"},
		{"a.obj", "\xff\xfev\x00 \x00", "this is text in UTF-16; save it as plain text in UTF-8"},
		{"a.stl", "ISO-10303-21;\nHEADER;", "this is a STEP file, which holds no triangles; export the model as a triangle mesh"},
		{"a.xyz", "1 2 3", "this is not a model in a format that can be read; use one of .stl .obj .ply .off .3mf .amf, or a .zip of them"},
	} {
		e := failure(t, c.name, c.data)
		assert.Equal(t, c.want, e.Error())
		assert.Equal(t, c.data == pointer, e.LFS)
	}
}

// shrunk claims more bytes than it has.
type shrunk struct {
	*bytes.Reader
	size int64
}

func (s shrunk) Size() int64 { return s.size }

// broken fails from some byte on.
type broken struct {
	*bytes.Reader
	from int64
	err  error
}

func (b broken) ReadAt(p []byte, off int64) (int, error) {
	if off+int64(len(p)) > b.from {
		return 0, b.err
	}
	return b.Reader.ReadAt(p, off)
}

func TestFilesThatChangeOrFailWhileRead(t *testing.T) {
	for _, name := range []string{"a.stl", "a.obj"} {
		data := bytes.Repeat([]byte("v 1 2 3\n"), 1<<17)
		if name == "a.stl" {
			data = writeBinarySTL(torus(100, 100))
		}
		in := shrunk{bytes.NewReader(data[:len(data)/2]), int64(len(data))}
		_, err := Read(name, in, Options{})
		require.Error(t, err)
		if name == "a.obj" {
			assert.Contains(t, err.Error(), "the file became shorter while it was read")
		}
		cause := errors.New("the disk is gone")
		_, err = Read(name, broken{bytes.NewReader(data), int64(len(data)) / 2, cause}, Options{})
		assert.ErrorContains(t, err, cause.Error())
	}
}

func TestScale(t *testing.T) {
	for _, c := range []struct{ name, data string }{
		{"a.stl", string(writeBinarySTL(tetra))},
		{"a.stl", string(writeASCIISTL(tetra))},
		{"a.obj", string(writeOBJ(tetra))},
	} {
		parts, err := Read(c.name, bytes.NewReader([]byte(c.data)), Options{Scale: 25.4})
		require.NoError(t, err)
		assert.Equal(t, mesh.Point{25.4, 0, 0}, parts[0].Triangles.Corners[2])
		for _, bad := range []float64{-1, inf(), nan()} {
			_, err = Read(c.name, bytes.NewReader([]byte(c.data)), Options{Scale: bad})
			assert.ErrorContains(t, err, "the scale must be a positive number")
		}
		// What was finite in the file may not be in mm.
		_, err = Read(c.name, bytes.NewReader([]byte(c.data)), Options{Scale: 1e39})
		assert.ErrorContains(t, err, "too large to be a length")
	}
}

// TestOneRounding holds that a unit is applied before the only rounding to float32: 0.1
// inch is 2.54 mm, not 25.4 times the float32 next to 0.1.
func TestOneRounding(t *testing.T) {
	data := "v 0.1 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n"
	parts, err := Read("a.obj", bytes.NewReader([]byte(data)), Options{Scale: 25.4})
	require.NoError(t, err)
	assert.Equal(t, float32(2.54), parts[0].Triangles.Corners[0][0])
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a.stl")
	require.NoError(t, os.WriteFile(name, writeBinarySTL(tetra), 0o600))
	f, err := Open(name)
	require.NoError(t, err)
	defer f.Close()
	assert.Equal(t, int64(284), f.Size())
	parts, err := Read(name, f, Options{})
	require.NoError(t, err)
	assert.Equal(t, tetra, parts[0].Triangles.Corners)

	_, err = Open(dir)
	assert.EqualError(t, err, "this is not an ordinary file; name a model file")
	_, err = Open(filepath.Join(dir, "none.stl"))
	assert.ErrorIs(t, err, os.ErrNotExist)
}
