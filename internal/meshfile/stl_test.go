package meshfile

import (
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

func inf() float64 { return math.Inf(1) }
func nan() float64 { return math.NaN() }

// withCount is a binary STL whose header claims another number of triangles.
func withCount(data []byte, count uint32) string {
	data = append([]byte(nil), data...)
	binary.LittleEndian.PutUint32(data[80:], count)
	return string(data)
}

// withHeader is a binary STL with other bytes at its beginning.
func withHeader(data []byte, header string) string {
	return header + string(data[len(header):])
}

// withFloat is a binary STL with another number at a byte.
func withFloat(data []byte, offset int, x float64) string {
	data = append([]byte(nil), data...)
	binary.LittleEndian.PutUint32(data[offset:], math.Float32bits(float32(x)))
	return string(data)
}

func TestBinarySTL(t *testing.T) {
	data := writeBinarySTL(tetra)
	for _, header := range []string{"", "solid", "solid cube\nfacet normal 0 0 1", "\xff\xfe", "SOLID " + strings.Repeat("x", 74)} {
		p := readOne(t, "a.stl", withHeader(data, header))
		assert.Equal(t, "stl", p.Kind)
		assert.Empty(t, p.Name+p.Inner+p.Skip)
		assert.Empty(t, p.Notes)
		assert.Equal(t, tetra, p.Triangles.Corners)
		assert.Equal(t, mesh.Place{Triangle: 3, Offset: 184, Length: 50}, p.Triangles.Source.Of(2))
	}
}

func TestBinarySTLBytesAfterTheLastTriangle(t *testing.T) {
	data := string(writeBinarySTL(tetra))
	for _, header := range []string{"", "solid of a kind"} {
		data := withHeader([]byte(data), header)
		p := readOne(t, "a.stl", data+strings.Repeat("x", 22))
		assert.Equal(t, []string{"22 bytes after the last triangle"}, p.Notes)
		p = readOne(t, "a.stl", data+"\n")
		assert.Equal(t, []string{"1 byte after the last triangle"}, p.Notes)
		p = readOne(t, "a.stl", data+strings.Repeat("\x00", 4096))
		assert.Equal(t, []string{"4096 bytes after the last triangle"}, p.Notes)
		assert.Equal(t, tetra, p.Triangles.Corners)

		e := failure(t, "a.stl", data+data)
		assert.Equal(t, "the header claims 4 triangles, but 284 bytes follow the last one, room for 5 more; "+
			"export or download the file again", e.Error())
	}
}

func TestBinarySTLThatCannotBe(t *testing.T) {
	data := writeBinarySTL(tetra)
	for _, c := range []struct {
		name, data, problem string
	}{
		{"count 0", withCount(data[:84], 0), "the model has no triangles"},
		{"count 0, triangles follow", withCount(data, 0), "the header claims no triangles, but 200 bytes follow it"},
		{"count 2^32-1", withCount(data, math.MaxUint32), "the file is cut off: it should hold 4294967295 triangles, but ends in triangle 5, at byte 284"},
		{"count 2^32-1, only a header", withCount(data[:84], math.MaxUint32), "the file is cut off: it should hold 4294967295 triangles, but ends in triangle 1, at byte 84"},
		{"count one too many", withCount(data, 5), "the file is cut off: it should hold 5 triangles, but ends in triangle 5, at byte 284"},
		{"count one too few", withCount(data, 3), "the header claims 3 triangles, but 50 bytes follow the last one, room for 1 more"},
		{"cut", string(data[:283]), "the file is cut off: it should hold 4 triangles, but ends in triangle 4, at byte 283"},
		{"cut in the header", string(data[:83]), "the file ends at byte 83, in the 84 bytes of header of a binary STL"},
		{"NaN", withFloat(data, 84+50+12+4, nan()), "triangle 2, byte 150: the y coordinate of corner 1 is not a number"},
		{"infinite", withFloat(data, 84+150+12+32, inf()), "triangle 4, byte 278: the z coordinate of corner 3 is infinite, or too large to be a length"},
		{"negative infinite", withFloat(data, 84+12+12, -inf()), "triangle 1, byte 108: the x coordinate of corner 2 is infinite, or too large to be a length"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := failure(t, "a.stl", c.data)
			assert.Equal(t, c.problem, e.Problem)
			assert.Equal(t, cureAgain, e.Cure)
			assert.Zero(t, e.Line)
		})
	}
}

// TestBinarySTLNormalsAreNotRead holds that a writer may leave anything in the normals.
func TestBinarySTLNormalsAreNotRead(t *testing.T) {
	p := readOne(t, "a.stl", withFloat(writeBinarySTL(tetra), 84, nan()))
	assert.Equal(t, tetra, p.Triangles.Corners)
}

// claim is a file of any size that is all zeros behind its header.
type claim struct {
	header []byte
	size   int64
}

func (c claim) Size() int64 { return c.size }

func (c claim) ReadAt(p []byte, off int64) (int, error) {
	clear(p)
	if off < int64(len(c.header)) {
		copy(p, c.header[off:])
	}
	return len(p), nil
}

// TestBinarySTLTooLarge holds that a mesh of more than 2^31 corners is refused before
// anything is allocated for it: the file would be 36 GB.
func TestBinarySTLTooLarge(t *testing.T) {
	const count = maxCorners/3 + 1
	header := []byte(withCount(make([]byte, 84), count))
	_, err := Read("a.stl", claim{header, 84 + 50*count}, Options{})
	require.EqualError(t, err, "the model has 715827883 triangles, the most that can be read is 715827882; "+
		"export the model with fewer triangles")
}
