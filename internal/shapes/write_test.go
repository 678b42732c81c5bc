package shapes

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"testing"

	"github.com/hschendel/stl"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

var wedge = &mesh.Triangles{Corners: []mesh.Point{{0, 0, 0}, {1.5, 0, 0}, {0, 2.25, 0}, {0, 0, 0}, {0, 2.25, 0}, {0, 0, 1e-3}}}

func TestBinarySTLLayout(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteBinarySTL(&b, wedge, "wedge"))
	data := b.Bytes()
	require.Len(t, data, 84+2*50)
	assert.Equal(t, "wedge\x00", string(data[:6]))
	assert.Equal(t, uint32(2), binary.LittleEndian.Uint32(data[80:]))
	at := func(i int) float32 { return math.Float32frombits(binary.LittleEndian.Uint32(data[84+4*i:])) }
	assert.Equal(t, []float32{0, 0, 1}, []float32{at(0), at(1), at(2)}, "the normal")
	assert.Equal(t, []float32{1.5, 0, 0}, []float32{at(6), at(7), at(8)}, "the second corner")
}

func TestASCIISTLText(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteASCIISTL(&b, wedge, "wedge"))
	assert.Equal(t, `solid wedge
facet normal 0 0 1
  outer loop
    vertex 0 0 0
    vertex 1.5 0 0
    vertex 0 2.25 0
  endloop
endfacet
facet normal 1 0 0
  outer loop
    vertex 0 0 0
    vertex 0 2.25 0
    vertex 0 0 0.001
  endloop
endfacet
endsolid wedge
`, b.String())
}

func TestOBJText(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteOBJ(&b, wedge, "wedge"))
	assert.Equal(t, `# wedge, lengths in mm
v 0 0 0
v 1.5 0 0
v 0 2.25 0
v 0 0 0.001
f 1 2 3
f 1 3 4
`, b.String())
}

func TestSTLComesBack(t *testing.T) {
	s := Turn(Hook(), Vec{X: 1, Y: 2, Z: 3}, 20)
	for name, write := range map[string]func(io.Writer, *mesh.Triangles, string) error{"binary": WriteBinarySTL, "text": WriteASCIISTL} {
		var b bytes.Buffer
		require.NoError(t, write(&b, s, "hook"))
		solid, err := stl.ReadAll(bytes.NewReader(b.Bytes()))
		require.NoError(t, err, name)
		back := new(mesh.Triangles)
		for _, tr := range solid.Triangles {
			for _, v := range tr.Vertices {
				back.Corners = append(back.Corners, mesh.Point(v))
			}
		}
		assert.Equal(t, s, back, name)
	}
}

// full is a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestWritersReportAFullDisk(t *testing.T) {
	s := Sphere(1, 64)
	assert.ErrorContains(t, WriteBinarySTL(full{}, s, "ball"), "no room")
	assert.ErrorContains(t, WriteASCIISTL(full{}, s, "ball"), "no room")
	assert.ErrorContains(t, WriteOBJ(full{}, s, "ball"), "no room")
}
