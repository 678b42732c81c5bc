package layers_test

import (
	"context"
	"testing"

	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// beside takes the differences of neighbouring layers, as the analysis does, and
// counts what it saw.
type beside struct {
	over *layers.Plane
	seen int
}

func (v *beside) Visit(below, layer *layers.Layer) {
	v.over.SetBeyond(layer.Solid, below.Solid, layer.From, layer.To)
	v.seen += v.over.Count() + 1
}

// BenchmarkSweep cuts, fills and compares 500 layers of 1000 x 1000 cells: a wavy
// sheet of 485 thousand triangles, 100 mm across.
func BenchmarkSweep(b *testing.B) {
	m := mesh.Weld(shapes.Scale(shapes.Gyroid(68), 100./60))
	g, err := layers.NewGrid(m.Box(), 0.2, 0.1)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	seen := 0
	for b.Loop() {
		v := &beside{over: layers.NewPlane(&g)}
		if err := layers.Sweep(context.Background(), m, g, layers.Options{Tilt: 45}, v); err != nil {
			b.Fatal(err)
		}
		seen += v.seen
	}
	if seen == 0 {
		b.Fatal("nothing was seen")
	}
	b.ReportMetric(float64(g.Layers), "layers")
	b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N)/float64(g.Layers), "ms/layer")
}
