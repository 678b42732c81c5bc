package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// bench runs the command and returns what it printed.
func bench(t *testing.T, in string, args ...string) (string, error) {
	t.Helper()
	var out bytes.Buffer
	err := run(args, strings.NewReader(in), &out)
	return out.String(), err
}

// file writes a mesh for a test and returns its path.
func file(t *testing.T, name string, s *mesh.Triangles) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name+".stl")
	require.NoError(t, write(path, name, s))
	return path
}

func TestWrongArguments(t *testing.T) {
	cube := file(t, "cube", shapes.Cube(10))
	for _, c := range []struct {
		args string
		says string
	}{
		{"", "usage: bench meshes FOLDER"},
		{"meshes", "kernels: read, weld, load, tree, rays, crossings, crossings-2, layers"},
		{"kernel read " + cube, "nothing to do"},
		{"kernel read " + cube + " 0", `"0" is not a number of rounds`},
		{"kernel read " + cube + " many", `"many" is not a number of rounds`},
		{"kernel paint " + cube + " 1", `"paint" is no kernel; there are read, weld`},
		{"collection folder -1", `"-1" is not a number of models`},
		{"collection folder", "nothing to do"},
		{"table lines.tsv", "nothing to do"},
	} {
		out, err := bench(t, "", strings.Fields(c.args)...)
		assert.ErrorContains(t, err, c.says, c.args)
		assert.Empty(t, out, c.args)
	}
}

func TestFilesThatCannotBeTimed(t *testing.T) {
	folder := t.TempDir()
	text := filepath.Join(folder, "words.stl")
	require.NoError(t, os.WriteFile(text, []byte("these are words, not triangles, and enough of them to be no header"), 0o600))
	for _, k := range kernels {
		for _, path := range []string{filepath.Join(folder, "none.stl"), text} {
			out, err := bench(t, "", "kernel", k.name, path, "1")
			assert.ErrorContains(t, err, filepath.Base(path), k.name)
			assert.Empty(t, out, k.name)
		}
	}
}

func TestCollection(t *testing.T) {
	folder := t.TempDir()
	_, err := bench(t, "", "collection", folder, "2")
	require.NoError(t, err)
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, entries, 2)
	for _, e := range entries {
		s, err := read(filepath.Join(folder, e.Name()))
		require.NoError(t, err)
		assert.Equal(t, 20*4*4*4*4, s.Count(), e.Name())
	}
}

// TestPair holds what the pair of balls is for: two closed bodies that cross.
func TestPair(t *testing.T) {
	out, err := bench(t, "", "kernel", "crossings", file(t, "pair", pair(3)), "1")
	require.NoError(t, err)
	assert.NotContains(t, out, "\t0 pairs")
	m := mesh.Weld(pair(3))
	assert.Len(t, m.Topology().Shells, 2)
	assert.True(t, m.Topology().Closed())
}

// TestShelf holds that every other model of the shelf has a ledge, and that no two are the same.
func TestShelf(t *testing.T) {
	folder := t.TempDir()
	_, err := bench(t, "", "shelf", folder, "1002")
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(folder, "*", "*.stl"))
	require.NoError(t, err)
	require.Len(t, files, 1002)
	assert.FileExists(t, filepath.Join(folder, "001", "box-001001.stl"))
	seen := map[string]bool{}
	for i := range 2000 {
		seen[fmt.Sprint(shelfBox(80*i).Corners)] = true
	}
	assert.Len(t, seen, 2000)
	assert.NotEqual(t, shelfBox(0).Count(), shelfBox(1).Count())
	_, err = bench(t, "", "shelf", folder, "0")
	assert.ErrorContains(t, err, "is not a number of models")
}
