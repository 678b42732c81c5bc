package measure

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func TestBaseOfExactShapes(t *testing.T) {
	foot := math.Pi * (2*10*0.1 - 0.01) // of a ball of radius 10 cut 0.1 mm above its lowest point
	cases := []struct {
		name                             string
		soup                             *mesh.Triangles
		area, flat, share, width, pieces float64
	}{
		{"cube", shapes.Cube(20), 400, 400, 1, 20, 1},
		{"T", shapes.T(), 100, 100, 0.2, 10, 1},
		{"table", shapes.Table(), 256, 256, 256.0 / 2400, 40, 4},
		{"table upside down", shapes.OnBed(shapes.Turn(shapes.Table(), shapes.X, 180)), 2400, 2400, 1, 40, 1},
		{"ball", shapes.Ball(10, 180), foot, 3.1, foot / (100 * math.Pi), 2 * math.Sqrt(foot/math.Pi), 1},
		{"cube on an edge", shapes.CubeOnEdge(20), 4, 0, 0.007, 0.2, 1},
		{"floating cube beside one that stands", shapes.FloatingCube(), 400, 400, 0.5, 20, 1},
	}
	for _, c := range cases {
		for _, v := range variants {
			t.Run(c.name+", "+v.name, func(t *testing.T) {
				r := take(t, v.change(c.soup), "base")
				require.Len(t, r.Sites, 1)
				get := func(field string) float64 { return value(t, "base", r.Sites[0], field) }
				assert.InDelta(t, c.area, get("area"), 0.02*c.area+0.6)
				assert.InDelta(t, c.flat, get("flat"), 0.01*c.flat+0.5)
				assert.InDelta(t, c.share, get("share"), 0.02*c.share+0.002)
				assert.InDelta(t, c.width, get("width"), 3*cell)
				assert.Equal(t, c.pieces, get("pieces"))
			})
		}
	}
}

// A model drawn in the air or below zero is dropped on the bed before anything is
// measured, and points are told in its own frame.
func TestModelOffTheBed(t *testing.T) {
	for _, z := range []float64{-37.3, 12.8} {
		r := take(t, shapes.Move(shapes.T(), mesh.Vec{X: 100, Y: -50, Z: z}), "overhang")
		require.Len(t, r.Sites, 2)
		for _, s := range r.Sites {
			assert.InDelta(t, 30+z, s.At.Z, 1e-4)
			assert.InDelta(t, 30, value(t, "overhang", s, "z"), 1e-4)
			assert.GreaterOrEqual(t, s.Box.Min.X, 99.8)
		}
		base := take(t, shapes.Move(shapes.T(), mesh.Vec{Z: z}), "base")
		assert.InDelta(t, z, base.Sites[0].At.Z, 1e-4)
	}
}

// Turning by the pose is the same as turning the mesh.
func TestPoseTurnsTheModel(t *testing.T) {
	half := Pose{M: [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}}
	assert.Empty(t, takePosed(t, shapes.T(), half, "overhang").Sites)
	assert.InDelta(t, 500, takePosed(t, shapes.T(), half, "base").Model[0], 5)
	up := shapes.OnBed(shapes.Turn(shapes.T(), shapes.X, 180))
	r := takePosed(t, up, half, "overhang")
	require.Len(t, r.Sites, 2)
	for _, s := range r.Sites {
		assert.InDelta(t, 10, s.At.Z, 1e-4, "told in the frame of the file, where the bar lies on the bed")
	}
}

func TestOneSweepServesEveryRequest(t *testing.T) {
	requests := []Request{{"base", nil}, {"overhang", []float64{45}}, {"overhang", []float64{wholeLineTilt}},
		{"bridge", []float64{45, 2}}, {"island", nil}, {"filling", nil}}
	for _, soup := range []*mesh.Triangles{shapes.Table(), shapes.Hook(), shapes.Ball(12, 48)} {
		together, err := NewBody(mesh.Weld(soup)).Measure(context.Background(), AsIs, process, Options{}, requests)
		require.NoError(t, err)
		for i, q := range requests {
			assert.Equal(t, take(t, soup, q.Measure, q.Params...), together[i], q.Measure)
		}
	}
}

// The number of workers changes nothing.
func TestWorkersChangeNothing(t *testing.T) {
	requests := []Request{{"base", nil}, {"overhang", nil}, {"bridge", nil}, {"island", nil}, {"filling", nil}}
	for _, soup := range []*mesh.Triangles{shapes.Table(), shapes.NoisyBall(20, 0.5, 4, 3), shapes.Figure()} {
		var want []Result
		for _, jobs := range []int{1, 2, 5} {
			got, err := NewBody(mesh.Weld(soup)).Measure(context.Background(), AsIs, process, Options{Jobs: jobs}, requests)
			require.NoError(t, err)
			if want == nil {
				want = got
			}
			assert.Equal(t, want, got, "%d workers", jobs)
		}
	}
}

func TestMeasuringStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, jobs := range []int{1, 3} {
		_, err := NewBody(mesh.Weld(shapes.Cube(50))).Measure(ctx, AsIs, process, Options{Jobs: jobs}, []Request{{"base", nil}})
		assert.ErrorIs(t, err, context.Canceled)
	}
}
