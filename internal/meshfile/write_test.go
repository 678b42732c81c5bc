package meshfile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// The writers here serve tests only: they are written from the formats' descriptions and
// share no code with the readers.

func writeBinarySTL(corners []mesh.Point) []byte {
	var b bytes.Buffer
	b.Write(make([]byte, 80))
	put := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) }
	put(uint32(len(corners) / 3))
	for i := 0; i+2 < len(corners); i += 3 {
		put([3]float32{})
		put(corners[i : i+3])
		put(uint16(0))
	}
	return b.Bytes()
}

func number(x float32) string { return strconv.FormatFloat(float64(x), 'g', -1, 32) }

func writeASCIISTL(corners []mesh.Point) []byte {
	b := []byte("solid made for a test\n")
	for i, p := range corners {
		if i%3 == 0 {
			b = append(b, " facet normal 0 0 0\n  outer loop\n"...)
		}
		b = fmt.Appendf(b, "   vertex %s %s %s\n", number(p[0]), number(p[1]), number(p[2]))
		if i%3 == 2 {
			b = append(b, "  endloop\n endfacet\n"...)
		}
	}
	return append(b, "endsolid made for a test\n"...)
}

// writeOBJ shares equal corners, as writers of the format do.
func writeOBJ(corners []mesh.Point) []byte {
	var points, faces []byte
	known := map[mesh.Point]int{}
	for i, p := range corners {
		if known[p] == 0 {
			known[p] = len(known) + 1
			points = fmt.Appendf(points, "v %s %s %s\n", number(p[0]), number(p[1]), number(p[2]))
		}
		if i%3 == 0 {
			faces = append(faces, 'f')
		}
		faces = fmt.Appendf(faces, " %d", known[p])
		if i%3 == 2 {
			faces = append(faces, '\n')
		}
	}
	return append(points, faces...)
}

// torus is a ring of 2*n*m triangles with coordinates that need all digits.
func torus(n, m int) []mesh.Point {
	at := func(i, j int) mesh.Point {
		a, b := 2*math.Pi*float64(i%n)/float64(n), 2*math.Pi*float64(j%m)/float64(m)
		r := 20 + 6*math.Cos(b)
		return mesh.Point{float32(r * math.Cos(a)), float32(r * math.Sin(a)), float32(6 * math.Sin(b))}
	}
	var out []mesh.Point
	for i := range n {
		for j := range m {
			p, q, r, s := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			out = append(out, p, q, r, p, r, s)
		}
	}
	return out
}

// tetra is the smallest closed solid.
var tetra = []mesh.Point{
	{0, 0, 0}, {0, 1, 0}, {1, 0, 0},
	{0, 0, 0}, {1, 0, 0}, {0, 0, 1},
	{0, 0, 1}, {1, 0, 0}, {0, 1, 0},
	{0, 0, 0}, {0, 0, 1}, {0, 1, 0},
}

// read reads a file with everything in it; the first error of a part is the file's.
func read(name string, data []byte) ([]Part, error) { return readWith(name, data, Options{}) }

func readWith(name string, data []byte, opt Options) ([]Part, error) {
	parts, err := Read(name, bytes.NewReader(data), opt)
	if err != nil {
		return nil, err
	}
	for i := range parts {
		if parts[i].Skip == "" {
			if err := parts[i].Load(); err != nil {
				return nil, err
			}
		}
	}
	return parts, nil
}

// readLazily reads a file and loads nothing.
func readLazily(name string, data []byte) ([]Part, error) {
	return Read(name, bytes.NewReader(data), Options{})
}

// readOne reads a file that must hold one model.
func readOne(t *testing.T, name, data string) Part {
	t.Helper()
	parts, err := read(name, []byte(data))
	require.NoError(t, err)
	require.Len(t, parts, 1)
	return parts[0]
}

// failure reads a file that must be refused.
func failure(t *testing.T, name, data string) *Error {
	t.Helper()
	parts, err := read(name, []byte(data))
	require.Error(t, err, "read %d parts", len(parts))
	var e *Error
	require.ErrorAs(t, err, &e)
	return e
}
