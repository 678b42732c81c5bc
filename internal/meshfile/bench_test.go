package meshfile

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"printlint/internal/mesh"
)

// kept holds what a benchmark computed, so that none of it is left out.
var kept int

func benchmarkRead(b *testing.B, name string, data []byte, triangles int) {
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		parts, err := Read(name, bytes.NewReader(data), Options{})
		if err != nil {
			b.Fatal(err)
		}
		if kept = parts[0].Soup.Triangles(); kept != triangles {
			b.Fatalf("%d of %d triangles", kept, triangles)
		}
	}
}

func BenchmarkReadBinarySTL(b *testing.B) {
	benchmarkRead(b, "ring.stl", writeBinarySTL(torus(406, 406)), 2*406*406)
}

func BenchmarkReadASCIISTL(b *testing.B) {
	benchmarkRead(b, "ring.stl", writeASCIISTL(torus(406, 406)), 2*406*406)
}

func BenchmarkReadOBJ(b *testing.B) {
	benchmarkRead(b, "ring.obj", writeOBJ(torus(406, 406)), 2*406*406)
}

// BenchmarkBinarySTLByHand is what a loop of our own over the same bytes takes: the price
// of reading through the library.
func BenchmarkBinarySTLByHand(b *testing.B) {
	data := writeBinarySTL(torus(406, 406))
	b.SetBytes(int64(len(data)))
	buf := make([]byte, 1000*stlTriangle)
	for b.Loop() {
		in := bytes.NewReader(data)
		count := int(stlCount(data))
		out := make([]mesh.Point, 0, 3*count)
		for off := int64(stlHeader); off < in.Size(); off += int64(len(buf)) {
			part := buf[:min(int64(len(buf)), in.Size()-off)]
			if err := readFull(in, part, off); err != nil {
				b.Fatal(err)
			}
			for ; len(part) > 0; part = part[stlTriangle:] {
				for i := stlCorners; i < stlTriangle-2; i += 12 {
					out = append(out, mesh.Point{float(part[i:]), float(part[i+4:]), float(part[i+8:])})
				}
			}
		}
		kept = len(out)
	}
}

func float(b []byte) float32 { return math.Float32frombits(binary.LittleEndian.Uint32(b)) }
