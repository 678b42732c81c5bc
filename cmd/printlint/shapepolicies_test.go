package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// bored is a plate around the origin with a round hole of that width between its sides.
func bored(wide, thick float64, sides int) *mesh.Triangles {
	return shapes.Prism(shapes.Rect(-10, -10, 10, 10), 0, thick, shapes.Ring(0, 0, wide/2, sides))
}

// pointed is a plate stood on its edge with a hole through it whose top is a point.
func pointed(wide, thick float64) *mesh.Triangles {
	ring := shapes.Ring(0, 0, wide/2, 32)
	drop := append(append(ring[12:len(ring):len(ring)], ring[:5]...), [2]float64{0, wide / math.Sqrt2})
	return shapes.ExtrudeY(shapes.Rect(-20, -20, 20, 20), 0, thick, drop)
}

// marked is a plate around the origin with a bar sunk into its top.
func marked(deep, wide float64) *mesh.Triangles {
	return shapes.Blocks([]float64{-10, 0, wide, 10}, []float64{-10, -5, 5, 10}, []float64{0, 4 - deep, 4},
		func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 })
}

// TestShapePolicies holds each rule over holes, letters and positions on the page to a model
// that keeps to it and one that breaks it.
func TestShapePolicies(t *testing.T) {
	page, err := os.ReadFile("../../docs/own-rules.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)<!-- shape policies -->\n```yaml\n(.*?)```").FindSubmatch(page)
	require.NotNil(t, block)
	cube := func(x, z float64) *mesh.Triangles {
		return shapes.Move(shapes.Cube(20), mesh.Vec{X: x - 10, Y: -10, Z: z})
	}
	cases := map[string]struct {
		keeps, breaks *mesh.Triangles
		says          string
	}{
		"small-hole":     {bored(3.1, 5, 32), bored(2.5, 5, 32), "hole of 2.4"},
		"low-hole":       {bored(14, 8, 32), shapes.Turn(bored(14, 8, 32), shapes.X, 90), "lying hole of 13.9 mm"},
		"faint-letters":  {marked(0.7, 1), marked(0.7, 0.3), "strokes 0.30 mm wide"},
		"on-zero":        {cube(0, 0), cube(0, 3), "lowest point lies at a height of 3.00 mm"},
		"near-origin":    {cube(9, 0), cube(30, 0), "middle lies 30.0 mm from the origin"},
		"close-together": {shapes.Join(cube(0, 0), cube(30, 0)), shapes.Join(cube(0, 0), cube(90, 0)), "parts lie 70.0 mm apart"},
	}
	rules := regexp.MustCompile(`(?m)^  ([a-z-]+):$`).FindAllSubmatch(block[1], -1)
	require.Len(t, rules, len(cases))
	for _, r := range rules {
		id := string(r[1])
		c, ok := cases[id]
		require.True(t, ok, id)
		keeps, breaks := checked(t, block[1], c.keeps), checked(t, block[1], c.breaks)
		assert.NotContains(t, keeps, "["+id+"]", id)
		assert.Contains(t, breaks, "["+id+"]", id)
		assert.Contains(t, breaks, c.says, id)
	}
	assert.NotContains(t, checked(t, block[1], bored(2.5, 5, 6)), "[small-hole]", "a hexagon is left alone")
	assert.Contains(t, checked(t, block[1], pointed(2.5, 5)), "[small-hole]", "a hole with a point is no wider than its round part")
	assert.NotContains(t, checked(t, block[1], pointed(3.1, 5)), "[small-hole]")
	assert.NotContains(t, checked(t, block[1], pointed(14, 8)), "[low-hole]", "its top does not sag")
	assert.Contains(t, checked(t, block[1], marked(0.3, 1)), "[faint-letters]", "too little depth")
	assert.Contains(t, checked(t, block[1], cube(0, -3)), "[on-zero]", "below the bed")
}

// checked is what a check of a model prints, by a configuration.
func checked(t *testing.T, config []byte, s *mesh.Triangles) string {
	t.Helper()
	dir := t.TempDir()
	put(t, filepath.Join(dir, "part.stl"), s)
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), config, 0o666))
	_, out := shell(t, dir, "printlint check --no-advice --cache off . || [ $? = 1 ]")
	return out
}
