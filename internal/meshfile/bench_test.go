package meshfile

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"io"
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
		parts, err := read(name, data)
		if err != nil {
			b.Fatal(err)
		}
		if kept = parts[0].Triangles.Count(); kept != triangles {
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

func BenchmarkReadPLYText(b *testing.B) {
	benchmarkRead(b, "ring.ply", writePLY(torus(406, 406)), 2*406*406)
}

func BenchmarkReadPLYBinary(b *testing.B) {
	benchmarkRead(b, "ring.ply", writeLittlePLY(torus(406, 406)), 2*406*406)
}

func BenchmarkReadOFF(b *testing.B) {
	benchmarkRead(b, "ring.off", writeOFF(torus(406, 406)), 2*406*406)
}

func BenchmarkReadAMF(b *testing.B) {
	benchmarkRead(b, "ring.amf", writeAMF(torus(406, 406)), 2*406*406)
}

// The bytes of the next three are those of the archive; unpacked they are about five times as many.

func BenchmarkRead3MF(b *testing.B) {
	benchmarkRead(b, "ring.3mf", write3MF(torus(406, 406)), 2*406*406)
}

// BenchmarkRead3MFByLibrary is the library that the tests compare with, on the same file.
func BenchmarkRead3MFByLibrary(b *testing.B) {
	data := write3MF(torus(406, 406))
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		m := byLibrary(b, data)
		if kept = len(m.Resources.Objects[0].Mesh.Triangles.Triangle); kept != 2*406*406 {
			b.Fatalf("%d triangles", kept)
		}
	}
}

// BenchmarkUnpack3MF is what unpacking alone takes.
func BenchmarkUnpack3MF(b *testing.B) {
	data := write3MF(torus(406, 406))
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			b.Fatal(err)
		}
		r, err := z.Open("3D/3dmodel.model")
		if err != nil {
			b.Fatal(err)
		}
		n, err := io.Copy(io.Discard, r)
		if err != nil {
			b.Fatal(err)
		}
		kept = int(n)
	}
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
