package spatial_test

import (
	"context"
	"math"
	"testing"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
	"printlint/internal/spatial"
)

func sheet(b *testing.B) *mesh.Mesh {
	m := mesh.Weld(shapes.Gyroid(68))
	if n := len(m.Tris); n < 450_000 || n > 600_000 {
		b.Fatalf("%d triangles are not about half a million", n)
	}
	return m
}

func rate(b *testing.B, n int, unit string) {
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds()/1e6, unit)
}

func BenchmarkBuild(b *testing.B) {
	m := sheet(b)
	b.ReportAllocs()
	sum := 0
	for b.Loop() {
		t, err := spatial.Build(m, nil, 1)
		if err != nil {
			b.Fatal(err)
		}
		sum += t.Triangles()
	}
	if sum == 0 {
		b.Fatal("nothing was built")
	}
	rate(b, len(m.Tris), "Mtri/s")
}

func benchmarkRays(b *testing.B, reach float64) {
	m := sheet(b)
	t, err := spatial.Build(m, nil, 1)
	if err != nil {
		b.Fatal(err)
	}
	sum := 0.0
	for b.Loop() {
		for _, i := range t.Order() {
			p, q, r := m.Corners(int(i))
			o := p.Add(q).Add(r).Scale(1. / 3)
			if hit, ok := t.RayPast(o, m.Normal(int(i)).Unit().Scale(-1), 1e-4, reach, i); ok {
				sum += hit.T
			}
		}
	}
	if sum == 0 {
		b.Fatal("nothing was hit")
	}
	rate(b, len(m.Tris), "Mray/s")
}

func BenchmarkInwardRays(b *testing.B)      { benchmarkRays(b, math.Inf(1)) }
func BenchmarkShortInwardRays(b *testing.B) { benchmarkRays(b, .8) }

func BenchmarkCrossings(b *testing.B) {
	m := sheet(b)
	t, err := spatial.Build(m, nil, 1)
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		n += len(t.Crossings(context.Background(), m, nil, 1000, 1).Pairs) + 1
	}
	if n == 0 {
		b.Fatal("nothing was done")
	}
	rate(b, len(m.Tris), "Mtri/s")
}
