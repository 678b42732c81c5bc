package measure

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/layers"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// process is the common desktop process the exact cases are stated for.
var process = catalog.Process{Material: "pla", Nozzle: 0.4, Line: 0.4, Layer: 0.2, Bridge: 10, Density: 1.24, Flow: 5, Bed: [3]float64{220, 220, 250}}

// wholeLineTilt is the tilt at which a whole line hangs, atan(0.4 / 0.2) in degrees.
const wholeLineTilt = 63.43494882

// take measures a body in the pose of its file.
func take(t testing.TB, s *mesh.Triangles, name string, params ...float64) Result {
	t.Helper()
	return takePosed(t, s, AsIs, name, params...)
}

func takePosed(t testing.TB, s *mesh.Triangles, pose Pose, name string, params ...float64) Result {
	t.Helper()
	if len(params) == 0 {
		params = nil
	}
	results, err := NewBody(mesh.Weld(s)).Measure(context.Background(), pose, process, Options{}, []Request{{name, params}})
	require.NoError(t, err)
	return results[0]
}

// stackOn is a sweep that has only been laid out, for visitors that are tried alone.
func stackOn(g *layers.Grid) *stack {
	return &stack{evaluation: evaluationOf(&call{}, process), grid: *g}
}

// value returns the named value of a site.
func value(t testing.TB, name string, s Site, field string) float64 {
	t.Helper()
	def := find(name).definition()
	i := def.Index(field)
	require.GreaterOrEqual(t, i, 0, "measure %s has no value %s", name, field)
	return s.Values[i]
}

// values returns one value of every site.
func values(t testing.TB, name string, r Result, field string) []float64 {
	t.Helper()
	list := make([]float64, len(r.Sites))
	for i, s := range r.Sites {
		list[i] = value(t, name, s, field)
	}
	return list
}

// worst is the largest value of a field, 0 where there is no site.
func worst(t testing.TB, name string, r Result, field string) float64 {
	t.Helper()
	most := 0.0
	for _, v := range values(t, name, r, field) {
		most = max(most, v)
	}
	return most
}

// variants are the changes of a mesh that must not change what it is.
var variants = []struct {
	name   string
	change func(*mesh.Triangles) *mesh.Triangles
}{
	{"as it is", func(s *mesh.Triangles) *mesh.Triangles { return s }},
	{"moved by a fraction of a cell", func(s *mesh.Triangles) *mesh.Triangles {
		return shapes.Move(s, mesh.Vec{X: 3.0371, Y: -7.0613, Z: 0.0457})
	}},
	{"turned about z", func(s *mesh.Triangles) *mesh.Triangles { return shapes.Turn(s, shapes.Z, 37) }},
	{"shuffled", func(s *mesh.Triangles) *mesh.Triangles { return shapes.Shuffle(s, 7) }},
	{"split in four", shapes.Split4},
	{"mirrored", shapes.Mirror},
}
