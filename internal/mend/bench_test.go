package mend

import (
	"context"
	"testing"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/work"
)

// BenchmarkMend mends a torus of 50,000 triangles in different states.
func BenchmarkMend(b *testing.B) {
	torus := shapes.Torus(20, 8, 250, 100)
	n := torus.Count()
	for _, c := range []struct {
		name      string
		triangles *mesh.Triangles
	}{
		{"whole", torus},
		{"one triangle missing", shapes.DropTriangles(torus, 1, 1)},
		{"a twentieth missing", shapes.DropTriangles(torus, n/20, 1)},
		{"a tenth turned", shapes.FlipTriangles(torus, n/10, 1)},
		{"every corner torn", shapes.Jitter(torus, 0.001, 1)},
	} {
		b.Run(c.name, func(b *testing.B) {
			m := mesh.Weld(c.triangles)
			topo := m.Topology()
			var out *Mended
			for b.Loop() {
				out, _ = Mend(work.Of(context.Background()), m, topo, nil)
			}
			b.ReportMetric(float64(len(out.Mesh.Tris)), "triangles")
		})
	}
}
