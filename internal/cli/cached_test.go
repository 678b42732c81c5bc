package cli

import (
	"fmt"
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
	silent := func(text string) { assert.Fail(t, "warned", text) }
	usual, own := filepath.Join(t.TempDir(), "usual"), filepath.Join(t.TempDir(), "own")
	k, err := openCache("", usual, nil, silent)
	require.NoError(t, err)
	assert.NotNil(t, k.Cache)
	assert.Len(t, k.Program, 64)
	assert.DirExists(t, usual)
	k, err = openCache(own, usual, nil, silent)
	require.NoError(t, err)
	assert.NotNil(t, k.Cache)
	assert.DirExists(t, own)
	for _, named := range []string{cacheOff, ""} {
		k, err = openCache(named, "", nil, silent)
		require.NoError(t, err)
		assert.Nil(t, k.Cache)
	}
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	k, err = openCache("", file, nil, silent)
	require.NoError(t, err, "the usual folder is a help, no duty")
	assert.Nil(t, k.Cache)
	_, err = openCache(file, usual, nil, silent)
	assert.ErrorContains(t, err, "--cache "+file+": ", "one that is named must work")
}

// TestCachesThatAreNotTrusted holds that nobody who sends models, or shares the machine,
// decides what is found in a cache.
func TestCachesThatAreNotTrusted(t *testing.T) {
	top := t.TempDir()
	t.Chdir(top)
	require.NoError(t, os.MkdirAll("tree/.git", 0o755))
	require.NoError(t, os.WriteFile("tree/.git/HEAD", nil, 0o644))
	require.NoError(t, os.MkdirAll("tree/parts", 0o755))
	require.NoError(t, os.MkdirAll("pack/parts", 0o755))
	require.NoError(t, os.WriteFile("pack/a.stl", nil, 0o644))
	require.NoError(t, os.Mkdir("elsewhere", 0o755))
	require.NoError(t, os.Mkdir("other", 0o755))
	require.NoError(t, os.Symlink("tree/parts", "alias"))
	for _, c := range []struct{ cache, path, why string }{
		{"tree/kept", "tree/parts", "in the work tree "}, {"tree/parts/kept", "tree/parts/gone.zip!/a.stl", "in the work tree "}, {"alias/kept", "tree", "in the work tree "},
		{"tree/kept", "alias", "in the work tree "}, {"pack/kept", "pack", "in pack"}, {"pack/deep/kept", "pack", "in pack"}, {"pack", "pack", "in pack"},
		{"pack/kept", "pack/a.stl", ""}, {"pack/kept2", "pack/parts", ""}, {"elsewhere/kept", "tree", ""}, {"elsewhere/kept", "pack", ""}, {"pack/kept3", "elsewhere", ""},
	} {
		for _, named := range []bool{true, false} {
			args := [2]string{c.cache, ""}
			if !named {
				args = [2]string{"", c.cache}
			}
			var told []string
			k, err := openCache(args[0], args[1], []string{"other", c.path}, func(text string) { told = append(told, text) })
			require.NoError(t, err, c)
			if c.why == "" {
				assert.NotNil(t, k.Cache, c)
				assert.Empty(t, told, c)
				continue
			}
			assert.Nil(t, k.Cache, c)
			require.Len(t, told, 1, c)
			assert.Contains(t, told[0], c.why)
			assert.NoDirExists(t, "tree/kept")
		}
	}
	require.NoError(t, os.Mkdir("open", 0o755))
	for _, mode := range []os.FileMode{0o775, 0o757, 0o777 | os.ModeSticky} {
		require.NoError(t, os.Chmod("open", mode))
		var told []string
		k, err := openCache("open", "", nil, func(text string) { told = append(told, text) })
		require.NoError(t, err)
		assert.Nil(t, k.Cache)
		assert.Equal(t, []string{fmt.Sprintf("no results are kept in the cache open: others may write to it (its mode is %#o; chmod go-w cures that)", mode.Perm())}, told)
	}
}
