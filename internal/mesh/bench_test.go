package mesh_test

import (
	"testing"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// orders are the same triangles as a generator writes them and at random: real files
// lie in between, and memory is several times slower for the second.
func orders(b *testing.B, triangles *mesh.Triangles, work func(*mesh.Triangles) int) {
	for _, o := range []struct {
		name      string
		triangles *mesh.Triangles
	}{{"sorted", triangles}, {"shuffled", shapes.Shuffle(triangles, 7)}} {
		b.Run(o.name, func(b *testing.B) {
			b.ReportAllocs()
			sum := 0
			for b.Loop() {
				sum += work(o.triangles)
			}
			if sum == 0 {
				b.Fatal("nothing was done")
			}
			b.ReportMetric(float64(o.triangles.Count())*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mtri/s")
		})
	}
}

func BenchmarkWeld(b *testing.B) {
	orders(b, shapes.Icosphere(100, 8), func(s *mesh.Triangles) int { return len(mesh.Weld(s).Verts) })
}

func BenchmarkWeldAndTopology(b *testing.B) {
	orders(b, shapes.Icosphere(100, 8), func(s *mesh.Triangles) int { return len(mesh.Weld(s).Topology().Shells) })
}
