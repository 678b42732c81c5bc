package measure

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// layered asks for everything that is taken from the layers, as the standard set does.
var layered = []Request{{"base", nil}, {"filling", nil}, {"island", nil}, {"overhang", []float64{45}},
	{"overhang", []float64{wholeLineTilt}}, {"bridge", []float64{wholeLineTilt, 2.5}}, {"bridge", []float64{wholeLineTilt, 2}}}

// benchBodies are bodies of growing size; each is measured whole, reading apart.
func benchBodies() map[string]*mesh.Triangles {
	part := shapes.NoisyBall(30, 0.3, 5, 1) // 20 k triangles, 60 mm
	block := shapes.Join(shapes.Box(mesh.Vec{}, mesh.Vec{X: 60, Y: 60, Z: 30}), shapes.Move(shapes.HoleBlock(12, 64), mesh.Vec{X: 5, Y: 5, Z: 29}))
	return map[string]*mesh.Triangles{"ball 60 mm, 20k": part, "block 60 mm": block, "ball 100 mm, 328k": shapes.NoisyBall(50, 0.3, 7, 1)}
}

func BenchmarkLayers(b *testing.B) {
	for _, name := range []string{"block 60 mm", "ball 60 mm, 20k", "ball 100 mm, 328k"} {
		m := mesh.Weld(benchBodies()[name])
		b.Run(name, func(b *testing.B) {
			sites := 0
			for b.Loop() {
				got, err := NewBody(m).Measure(context.Background(), AsIs, process, Options{}, layered)
				require.NoError(b, err)
				sites += len(got[0].Sites)
			}
			require.Positive(b, sites)
			b.ReportMetric(float64(len(m.Tris)), "triangles")
		})
	}
}

// BenchmarkAnalyse cuts and fills 500 layers of a wavy sheet of 485 thousand triangles,
// 100 mm across, and takes all that is taken from layers on the way; weighing what was
// gathered is not in it.
func BenchmarkAnalyse(b *testing.B) {
	m := mesh.Weld(shapes.Scale(shapes.Gyroid(68), 100./60))
	body := NewBody(m)
	_, err := evaluationOf(&call{ctx: context.Background(), body: body}, process).mended()
	require.NoError(b, err)
	for _, jobs := range []int{1, 2} {
		b.Run(fmt.Sprintf("%d workers", jobs), func(b *testing.B) {
			count := 0
			for b.Loop() {
				r := evaluationOf(&call{ctx: context.Background(), body: body, pose: AsIs, opt: Options{Jobs: jobs}}, process)
				for _, q := range append([]Request{{"stability", nil}, {"column", nil}, {"cavity", nil}}, layered...) {
					require.NoError(b, find(q.Measure).begin(r, q.Params))
				}
				s, err := r.layers()
				require.NoError(b, err)
				count += s.grid.Layers
			}
			require.Positive(b, count)
			b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(count), "ms/layer")
		})
	}
}
