package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWhereResultsAreKept(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", filepath.Join(home, "cache"))
	assert.Equal(t, filepath.Join(home, "cache", "printlint"), cacheFolder())
	t.Setenv("XDG_CACHE_HOME", filepath.Join(home, "nobody", "cache"))
	assert.Empty(t, cacheFolder(), "nothing is made for a user who has no home")
	t.Setenv("XDG_CACHE_HOME", "")
	t.Setenv("HOME", "")
	assert.Empty(t, cacheFolder())
}

func TestOpeningTheCache(t *testing.T) {
	usual, own := filepath.Join(t.TempDir(), "usual"), filepath.Join(t.TempDir(), "own")
	k, err := openCache("", usual)
	require.NoError(t, err)
	assert.NotNil(t, k.Cache)
	assert.Len(t, k.Program, 64)
	assert.DirExists(t, usual)
	k, err = openCache(own, usual)
	require.NoError(t, err)
	assert.NotNil(t, k.Cache)
	assert.DirExists(t, own)
	for _, named := range []string{cacheOff, ""} {
		k, err = openCache(named, "")
		require.NoError(t, err)
		assert.Nil(t, k.Cache)
	}
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	k, err = openCache("", file)
	require.NoError(t, err, "the usual folder is a help, no duty")
	assert.Nil(t, k.Cache)
	_, err = openCache(file, usual)
	assert.ErrorContains(t, err, "--cache "+file+": ", "one that is named must work")
}
