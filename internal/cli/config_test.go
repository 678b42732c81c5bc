package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// folders makes folders and empty configurations, and moves to their top.
func folders(t *testing.T, paths ...string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, p := range paths {
		require.NoError(t, os.MkdirAll(filepath.Dir(p), 0o777))
		if filepath.Base(p) == "x" {
			continue // a folder only
		}
		require.NoError(t, os.WriteFile(p, nil, 0o666))
	}
}

func TestNearestConfig(t *testing.T) {
	folders(t, ".printlint.yml", "a/b/c.stl", "a/.printlint.yml", "repo/.git/x", "repo/sub/x", "in/.git/x", "in/.printlint.yml", "in/sub/c.stl")
	for start, want := range map[string]string{
		".":            ".printlint.yml",
		"a":            "a/.printlint.yml",
		"a/b":          "a/.printlint.yml",
		"a/b/c.stl":    "a/.printlint.yml",
		"repo/sub":     "", // the one above the repository is none of its business
		"in/sub/c.stl": "in/.printlint.yml",
		"gone":         ".printlint.yml",
	} {
		got, err := onDisk().nearest(filepath.FromSlash(start))
		require.NoError(t, err)
		assert.Equal(t, want, got, start)
	}
	t.Chdir("in/sub")
	got, err := onDisk().nearest(".")
	require.NoError(t, err)
	assert.Equal(t, "../.printlint.yml", got)
	t.Chdir("../../a/b")
	got, err = onDisk().nearest(".")
	require.NoError(t, err)
	assert.Empty(t, got, "outside of a repository nothing above the working directory counts")
}

func TestBaseOf(t *testing.T) {
	assert.Equal(t, ".", baseOf(""))
	assert.Equal(t, ".", baseOf(".printlint.yml"))
	assert.Equal(t, "a", baseOf("a/.printlint.yml"))
}
