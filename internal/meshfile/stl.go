package meshfile

import (
	"encoding/binary"
	"fmt"
	"io"

	"github.com/hschendel/stl"

	"printlint/internal/mesh"
)

// A binary STL is 80 bytes of anything, the number of triangles, and 50 bytes for each:
// normal and three corners as little-endian float32, and two bytes of attributes.
const (
	stlHeader   = 84
	stlTriangle = 50
	stlCorners  = 12 // bytes of the normal before the first corner
)

// stlCount is the number of triangles that the header claims.
func stlCount(head []byte) int64 {
	return int64(binary.LittleEndian.Uint32(head[stlHeader-4 : stlHeader]))
}

// isBinarySTL goes by the size first: many binary files begin with the word solid.
func isBinarySTL(head []byte, size int64) bool {
	return len(head) >= stlHeader && size == stlHeader+stlTriangle*stlCount(head)
}

func matchesSTL(head []byte, size int64) bool {
	return isBinarySTL(head, size) || isASCIISTL(head)
}

func readSTL(in Input, head []byte, opt Options) ([]Part, error) {
	if !isBinarySTL(head, in.Size()) {
		if isText(head) || isASCIISTL(head) {
			return readASCIISTL(in, opt)
		}
		if in.Size() < stlHeader {
			return nil, inFile(cureAgain,
				"the file ends at byte %d, in the %d bytes of header of a binary STL", in.Size(), stlHeader)
		}
	}
	notes, err := checkBinarySTL(in, head)
	if err != nil {
		return nil, err
	}
	triangles, err := copyBinarySTL(in, stlCount(head), opt.Scale)
	if err != nil {
		return nil, err
	}
	return []Part{{Kind: "stl", Triangles: triangles, Notes: notes}}, nil
}

// checkBinarySTL holds the claimed number of triangles against the size of the file.
func checkBinarySTL(in Input, head []byte) (notes []string, err error) {
	count, size := stlCount(head), in.Size()
	room := (size - stlHeader) / stlTriangle
	end := stlHeader + stlTriangle*count
	switch {
	case count == 0 && size == stlHeader:
		return nil, inFile(cureAgain, "the model has no triangles")
	case count == 0:
		return nil, inFile(cureAgain,
			"the header claims no triangles, but %s follow it", plural(size-stlHeader, "byte"))
	case count > room:
		return nil, inFile(cureAgain,
			"the file is cut off: it should hold %s, but ends in triangle %d, at byte %d", plural(count, "triangle"), room+1, size)
	case count > maxCorners/3:
		return nil, inFile(cureSmaller,
			"the model has %d triangles, the most that can be read is %d", count, int64(maxCorners/3))
	case size == end:
		return nil, nil
	}
	empty, err := zeros(in, end)
	if err != nil {
		return nil, err
	}
	// Padding is harmless; more triangles than claimed would be judged as if they were not there.
	if !empty && room > count {
		return nil, inFile(cureAgain,
			"the header claims %s, but %s follow the last one, room for %d more",
			plural(count, "triangle"), plural(size-end, "byte"), room-count)
	}
	return []string{plural(size-end, "byte") + " after the last triangle"}, nil
}

// zeros tells whether everything from offset to the end is zero.
func zeros(in Input, offset int64) (bool, error) {
	buf := make([]byte, min(bufferSize, in.Size()-offset))
	for offset < in.Size() {
		part := buf[:min(int64(len(buf)), in.Size()-offset)]
		if err := readFull(in, part, offset); err != nil {
			return false, err
		}
		for _, c := range part {
			if c != 0 {
				return false, nil
			}
		}
		offset += int64(len(part))
	}
	return true, nil
}

// copyBinarySTL lets the library stream exactly the claimed triangles.
func copyBinarySTL(in Input, count int64, scale float64) (*mesh.Triangles, error) {
	w := &stlWriter{scale: scale}
	w.triangles.Corners = make([]mesh.Point, 0, 3*count)
	w.triangles.Source = mesh.Source{Offset: stlHeader, Stride: stlTriangle}
	// Without the bytes after the last triangle the library sees a binary file too.
	r := io.NewSectionReader(in, 0, stlHeader+stlTriangle*count)
	if err := stl.CopyAll(r, w); err != nil {
		return nil, fmt.Errorf("reading binary STL: %w", err)
	}
	if w.err != nil {
		return nil, w.err
	}
	if got := int64(w.triangles.Count()); got != count {
		return nil, inFile(cureAgain, "%d of %s could be read", got, plural(count, "triangle"))
	}
	return &w.triangles, nil
}

// stlWriter takes triangles from the library and keeps the first thing wrong with them.
type stlWriter struct {
	triangles mesh.Triangles
	scale     float64
	err       error
}

// SetName passes over the name: in a binary file it is any text or none.
func (w *stlWriter) SetName(string) {}

// SetBinaryHeader passes over the header.
func (w *stlWriter) SetBinaryHeader([]byte) {}

// SetASCII passes over the format, which is known.
func (w *stlWriter) SetASCII(bool) {}

// SetTriangleCount passes over the count: the room is already there.
func (w *stlWriter) SetTriangleCount(uint32) {}

// AppendTriangle keeps the corners; normals are computed from them where needed,
// because the stored ones are often zero or wrong.
func (w *stlWriter) AppendTriangle(t stl.Triangle) {
	p, q, r := mesh.Point(t.Vertices[0]), mesh.Point(t.Vertices[1]), mesh.Point(t.Vertices[2])
	if w.scale != 1 {
		p, q, r = scaled(p, w.scale), scaled(q, w.scale), scaled(r, w.scale)
	}
	if w.err == nil && !(finite(p) && finite(q) && finite(r)) {
		w.err = stlNotFinite(w.triangles.Count(), [3]mesh.Point{p, q, r})
	}
	w.triangles.Corners = append(w.triangles.Corners, p, q, r)
}

// scaled returns p in mm. The only rounding to float32 is here.
func scaled(p mesh.Point, scale float64) mesh.Point {
	for k, x := range p {
		p[k] = float32(float64(x) * scale)
	}
	return p
}

// stlNotFinite names the first coordinate of triangle i that is not finite.
func stlNotFinite(i int, corners [3]mesh.Point) error {
	for j, p := range corners {
		for k, x := range p {
			if x-x != 0 {
				at := stlHeader + int64(i)*stlTriangle + stlCorners + int64(12*j+4*k)
				return inFile(cureAgain, "triangle %d, byte %d: the %c coordinate of corner %d is %s",
					i+1, at, "xyz"[k], j+1, notFinite(float64(x)))
			}
		}
	}
	return nil
}
