package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// result runs a kernel on a mesh and returns its line.
func result(t *testing.T, kernel string, s *mesh.Triangles) line {
	t.Helper()
	out, err := bench(t, "", "kernel", kernel, file(t, "part", s), "3")
	require.NoError(t, err)
	l, err := parseLine(strings.TrimSuffix(out, "\n"))
	require.NoError(t, err)
	return l
}

// crossed is two bars that run through each other like a plus sign: each of the four
// upright sides of the one meets some sides of the other.
func crossed() *mesh.Triangles {
	return shapes.Join(
		shapes.Box(mesh.Vec{X: -10, Y: -2.1, Z: 0}, mesh.Vec{X: 10, Y: 2.2, Z: 4}),
		shapes.Box(mesh.Vec{X: -2.3, Y: -10, Z: 1}, mesh.Vec{X: 2.4, Y: 10, Z: 3}))
}

func TestResults(t *testing.T) {
	cube := shapes.Cube(10)
	open := shapes.Cube(10)
	open.Corners = open.Corners[3:]
	for _, c := range []struct {
		kernel    string
		triangles *mesh.Triangles
		result    string
	}{
		{"read", cube, "12 triangles"},
		// Twelve edges of the cube and a diagonal on each of its six faces.
		{"weld", cube, "8 vertices, 18 edges, closed"},
		{"load", cube, "8 vertices, 18 edges, closed"},
		{"weld", open, "8 vertices, 18 edges, open"},
		// Two cubes that share one edge, which has four triangles and counts once.
		{"weld", shapes.CubesAtEdge(), "14 vertices, 35 edges, closed"},
		{"tree", cube, "12 triangles"},
		{"rays", cube, "mean 10.0000 mm, 0 misses"},
		// What starts opposite the missing triangle may leave through the gap.
		{"rays", open, "mean 10.0000 mm, 1 misses"},
		{"crossings", cube, "0 pairs"},
		{"crossings-2", cube, "0 pairs"},
		// All of the first layer lies beyond the layer below, for there is none.
		{"layers", cube, "50 layers, 1000 mm3 filled, 100 mm2 beyond the layer below"},
	} {
		assert.Equal(t, c.result, result(t, c.kernel, c.triangles).result, c.kernel)
	}
}

// TestLayersBeyond holds that what sticks out is counted: each of the two ends of the
// upper bar beyond the lower one, less the cell that the lower layer grows by, and the
// whole of the first layer.
func TestLayersBeyond(t *testing.T) {
	s := shapes.Join(
		shapes.Box(mesh.Vec{X: 0, Y: 0, Z: 0}, mesh.Vec{X: 10, Y: 10, Z: 2}),
		shapes.Box(mesh.Vec{X: -5, Y: 0, Z: 2}, mesh.Vec{X: 15, Y: 10, Z: 4}))
	assert.Equal(t, "20 layers, 600 mm3 filled, 198 mm2 beyond the layer below", result(t, "layers", s).result)
}

// TestCrossingsAgreeForWorkers holds that both kernels of crossings find the same pairs.
func TestCrossingsAgreeForWorkers(t *testing.T) {
	one, two := result(t, "crossings", crossed()), result(t, "crossings-2", crossed())
	assert.Equal(t, one.result, two.result)
	assert.NotEqual(t, "0 pairs", one.result)
	assert.Equal(t, "printlint", one.who)
	assert.Equal(t, "printlint, 2 workers", two.who)
	assert.Equal(t, one.kernel, two.kernel, "they stand beside each other in the table")
}

func TestLineOfAKernel(t *testing.T) {
	for _, k := range kernels {
		l := result(t, k.name, shapes.Cube(10))
		assert.Equal(t, k.row, l.kernel)
		assert.Equal(t, "part", l.mesh)
		assert.LessOrEqual(t, l.least, l.median, k.name)
		assert.LessOrEqual(t, l.median, l.most, k.name)
	}
}

func TestRoundsAreCounted(t *testing.T) {
	done := 0
	times, got, err := timeRounds(func() (summary, error) {
		done++
		return func() string { return "same" }, nil
	}, 4)
	require.NoError(t, err)
	assert.Equal(t, 5, done, "one round comes before the clock")
	assert.Len(t, times, 4)
	assert.Equal(t, "same", got)
}

func TestRoundsMustAgree(t *testing.T) {
	done := 0
	_, _, err := timeRounds(func() (summary, error) {
		done++
		n := done
		return func() string { return strings.Repeat("x", min(n, 2)) }, nil
	}, 3)
	assert.EqualError(t, err, `round 1 came to "xx", those before to "x"`)
}

func TestAFailedRoundEndsTheTiming(t *testing.T) {
	_, _, err := timeRounds(func() (summary, error) { return nil, errors.New("no more") }, 3)
	assert.EqualError(t, err, "no more")
}

func TestAFileThatGoesAway(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cube.stl")
	require.NoError(t, write(path, "cube", shapes.Cube(1)))
	work, err := prepareLoad(path)
	require.NoError(t, err)
	require.NoError(t, os.Remove(path))
	_, err = work()
	assert.ErrorContains(t, err, "cube.stl")
}

func TestMedian(t *testing.T) {
	assert.Equal(t, 2.0, median([]float64{3, 1, 2}))
	assert.Equal(t, 2.5, median([]float64{4, 1, 3, 2}))
	assert.Equal(t, 7.0, median([]float64{7}))
}
