package measure

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// takeAt measures with a cell and a process of one's own.
func takeAt(t *testing.T, s *mesh.Triangles, cell float64, p catalog.Process, name string, params ...float64) Result {
	t.Helper()
	got, err := NewBody(mesh.Weld(s)).Measure(context.Background(), AsIs, p, Options{Cell: cell}, []Request{{name, params}})
	require.NoError(t, err)
	return got[0]
}

// Values move by no more than a cell or two when cells shrink or grow, and no site
// comes or goes: what is found is a property of the shape.
func TestCellSizeMovesValuesByACell(t *testing.T) {
	cases := []struct {
		name, measure, value string
		soup                 *mesh.Triangles
		params               []float64
		want                 []float64
	}{
		{"T", "overhang", "reach", shapes.T(), []float64{45}, []float64{20, 20}},
		{"arm at 60", "overhang", "reach", shapes.LeaningArm(60, 15), []float64{45}, []float64{15}},
		{"arm at 75", "overhang", "reach", shapes.LeaningArm(75, 15), []float64{wholeLineTilt}, []float64{15}},
		{"lip of 3 mm", "overhang", "reach", shapes.Lip(3), []float64{45}, []float64{3}},
		{"portal", "bridge", "span", shapes.Portal(30), []float64{45, 2}, []float64{30}},
		{"portal turned", "bridge", "span", shapes.Turn(shapes.Portal(30), shapes.Z, 23), []float64{45, 2}, []float64{30}},
		{"roof", "bridge", "span", shapes.RoofedBox(), []float64{45, 2}, []float64{30}},
		{"floating cube", "island", "rise", shapes.FloatingCube(), nil, []float64{20}},
		{"hook", "island", "joins", shapes.Hook(), nil, []float64{1}},
	}
	for _, c := range cases {
		for _, size := range []float64{0.05, 0.08, 0.1, 0.13, 0.2} {
			r := takeAt(t, c.soup, size, process, c.measure, c.params...)
			got := values(t, c.measure, r, c.value)
			require.Len(t, got, len(c.want), "%s at cells of %g mm", c.name, size)
			for i := range got {
				assert.InDelta(t, c.want[i], got[i], 2.5*size+0.1, "%s at cells of %g mm", c.name, size)
			}
		}
	}
}

// Layer heights change what hangs by less than a layer may step out; flat undersides do
// not depend on them at all.
func TestLayerHeightMovesFlatUndersidesNotAtAll(t *testing.T) {
	for _, layer := range []float64{0.08, 0.12, 0.2, 0.28, 0.3} {
		p := process
		p.Layer = layer
		r := takeAt(t, shapes.T(), 0, p, "overhang", 45)
		require.Len(t, r.Sites, 2, "layers of %g mm", layer)
		for _, s := range r.Sites {
			assert.InDelta(t, 20, value(t, "overhang", s, "reach"), cell)
			assert.InDelta(t, 30, value(t, "overhang", s, "z"), 1e-4)
		}
		b := takeAt(t, shapes.Portal(30), 0, p, "bridge", 45, 2)
		require.Len(t, b.Sites, 1)
		assert.InDelta(t, 30, value(t, "bridge", b.Sites[0], "span"), 2*cell)
		assert.Len(t, takeAt(t, shapes.Hook(), 0, p, "island").Sites, 1)
		assert.Empty(t, takeAt(t, shapes.LeaningArm(44, 12), 0, p, "overhang", 45).Sites)
		arm := takeAt(t, shapes.LeaningArm(60, 15), 0, p, "overhang", 45)
		require.Len(t, arm.Sites, 1)
		assert.InDelta(t, 15, value(t, "overhang", arm.Sites[0], "reach"), 0.6)
	}
}

// The lattice is laid from the model's own corner, so moving the model by any
// fraction of a cell or a layer moves the lattice with it.
func TestMovingChangesNoFinding(t *testing.T) {
	const seed = 31
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	cases := []struct {
		name, measure string
		soup          *mesh.Triangles
		params        []float64
	}{
		{"ball", "overhang", shapes.Ball(8, 48), []float64{45}},
		{"recess", "bridge", shapes.Recess(6, 2.5, 48), []float64{45, 0.5}},
		{"table", "overhang", shapes.Table(), []float64{wholeLineTilt}},
		{"rod", "overhang", shapes.ThreadedRod(8, 1, 4, 32), []float64{45}},
		{"figure", "island", shapes.Figure(), nil},
	}
	for _, c := range cases {
		want := take(t, c.soup, c.measure, c.params...)
		for range 12 {
			by := mesh.Vec{X: r.Float64()*20 - 10, Y: r.Float64()*20 - 10, Z: r.Float64()*20 - 10}
			got := take(t, shapes.Move(c.soup, by), c.measure, c.params...)
			require.Len(t, got.Sites, len(want.Sites), "%s moved by %v", c.name, by)
			for i := range got.Sites {
				assert.InDeltaSlice(t, want.Sites[i].Values, got.Sites[i].Values, 0.25, "%s moved by %v", c.name, by)
				assert.InDelta(t, 0, got.Sites[i].At.Sub(by).Sub(want.Sites[i].At).Len(), 0.3, "%s moved by %v", c.name, by)
			}
		}
	}
}
