package meshfile

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"printlint/internal/mesh"
)

func writeOFF(corners []mesh.Point) []byte {
	points, faces := shared(corners)
	b := fmt.Appendf(nil, "OFF\n# made for a test\n%d %d 0\n", len(points), len(faces))
	for _, p := range points {
		b = fmt.Appendf(b, "%s %s %s\n", number(p[0]), number(p[1]), number(p[2]))
	}
	for _, f := range faces {
		b = fmt.Appendf(b, "3 %d %d %d\n", f[0], f[1], f[2])
	}
	return b
}

func plyHeader(format string, points, faces int) []byte {
	return fmt.Appendf(nil, "ply\nformat %s 1.0\ncomment made for a test\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n"+
		"element face %d\nproperty list uchar int vertex_indices\nend_header\n", format, points, faces)
}

func writePLY(corners []mesh.Point) []byte {
	points, faces := shared(corners)
	b := plyHeader("ascii", len(points), len(faces))
	for _, p := range points {
		b = fmt.Appendf(b, "%s %s %s\n", number(p[0]), number(p[1]), number(p[2]))
	}
	for _, f := range faces {
		b = fmt.Appendf(b, "3 %d %d %d\n", f[0], f[1], f[2])
	}
	return b
}

func writeBinaryPLY(corners []mesh.Point, order binary.ByteOrder, name string) []byte {
	points, faces := shared(corners)
	b := bytes.NewBuffer(plyHeader(name, len(points), len(faces)))
	put := func(v any) { _ = binary.Write(b, order, v) }
	put(points)
	for _, f := range faces {
		put(uint8(3))
		put([3]int32{int32(f[0]), int32(f[1]), int32(f[2])})
	}
	return b.Bytes()
}

func writeLittlePLY(corners []mesh.Point) []byte {
	return writeBinaryPLY(corners, binary.LittleEndian, "binary_little_endian")
}

func writeBigPLY(corners []mesh.Point) []byte {
	return writeBinaryPLY(corners, binary.BigEndian, "binary_big_endian")
}
