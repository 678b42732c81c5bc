package meshfile

import (
	"bytes"
	"testing"
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
