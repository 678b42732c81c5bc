package main

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// policies is the configuration shown on the page about rules of one's own.
func policies(t *testing.T) string {
	t.Helper()
	page, err := os.ReadFile("../../docs/own-rules.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)<!-- policies -->\n```yaml\n(.*?)```").FindSubmatch(page)
	require.NotNil(t, block)
	return string(block[1])
}

// ownRulesScene is a folder with that configuration, a part that keeps to it and one that does not.
func ownRulesScene(t *testing.T) string {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte(policies(t)), 0o666))
	put(t, filepath.Join(dir, "fine.stl"), shapes.Cube(20))
	put(t, filepath.Join(dir, "large.stl"), shapes.Cube(80))
	return dir
}

// split splits each triangle in four, so many times.
func split(s *mesh.Triangles, times int) *mesh.Triangles {
	for range times {
		s = shapes.Split4(s)
	}
	return s
}

// TestPolicies holds each rule of the page to a model that keeps to it and one that breaks it.
func TestPolicies(t *testing.T) {
	cases := map[string]struct {
		keeps, breaks *mesh.Triangles
		says          string
	}{
		"too-heavy":  {shapes.Cube(60), shapes.Cube(80), "model takes about 157 g of plastic; 100 g is the most here"},
		"too-long":   {shapes.Cube(60), shapes.Cube(80), "model prints for about 423 min; 240 min is the most here"},
		"one-body":   {shapes.HollowBox(20, 2), shapes.FloatingCube(), "file holds 2 bodies"},
		"too-fine":   {split(shapes.Cube(20), 6), split(shapes.Cube(20), 8), "mesh has 786432 triangles; 300000 are enough"},
		"no-support": {shapes.Cube(20), shapes.T(), "2 overhangs and 0 bridges need support"},
		"watertight": {shapes.Cube(20), shapes.DropTriangles(shapes.Ball(10, 24), 1, 1), "surface is not closed, with 3 open, 0 crowded and 0 reversed edges"},
	}
	rules := regexp.MustCompile(`(?m)^  ([a-z-]+):$`).FindAllStringSubmatch(policies(t), -1)
	require.Len(t, rules, len(cases))
	for _, r := range rules {
		c, ok := cases[r[1]]
		require.True(t, ok, r[1])
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, ".printlint.yml"), []byte(policies(t)), 0o666))
		put(t, filepath.Join(dir, "keeps.stl"), c.keeps)
		put(t, filepath.Join(dir, "breaks.stl"), c.breaks)
		_, out := shell(t, dir, "printlint check --no-advice keeps.stl || [ $? = 1 ]")
		assert.NotContains(t, out, "["+r[1]+"]", r[1])
		_, out = shell(t, dir, "printlint check --no-advice breaks.stl || [ $? = 1 ]")
		assert.Contains(t, out, "["+r[1]+"]", r[1])
		assert.Contains(t, out, c.says, r[1])
	}
}
