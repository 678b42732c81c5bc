package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func TestFloatingHasAsManyPiecesAsAsked(t *testing.T) {
	for _, n := range []int{0, 1, 10, 1024} {
		topo := mesh.Weld(floating(n)).Topology()
		assert.Len(t, topo.Shells, n+1, "the plate and what floats above it")
		assert.True(t, topo.Closed())
	}
}

func TestGrowthSeries(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, run([]string{"growth", folder}, nil, io.Discard))
	names, err := filepath.Glob(filepath.Join(folder, "*.yml"))
	require.NoError(t, err)
	require.Len(t, names, 10)
	rules := map[string]int{}
	for _, name := range names {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		var config struct {
			Version int
			Rules   map[string]any
		}
		require.NoError(t, yaml.Unmarshal(text, &config), name)
		assert.Equal(t, 1, config.Version, name)
		rules[filepath.Base(name)] = len(config.Rules)
	}
	assert.Equal(t, 500, rules["rules-500.yml"])
	assert.Equal(t, 16, rules["angles-16.yml"])
	assert.Zero(t, rules["layer-0.4.yml"])
	solids, err := filepath.Glob(filepath.Join(folder, "floating-*.stl"))
	require.NoError(t, err)
	assert.Len(t, solids, 4)
}

func TestWorstShapes(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, run([]string{"worst", folder}, nil, io.Discard))
	solids, err := filepath.Glob(filepath.Join(folder, "*.stl"))
	require.NoError(t, err)
	require.Len(t, solids, len(shapes.Crowds()))
	s, err := read(filepath.Join(folder, "soup-500.stl"))
	require.NoError(t, err)
	assert.Equal(t, 500, s.Count())
	script, err := os.ReadFile("worst.sh")
	require.NoError(t, err)
	assert.Contains(t, string(script), "./internal/bench worst")
}
