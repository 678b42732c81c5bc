package collection

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// failing opens each file and returns what is wrong with those that cannot be.
func failing(files []File) map[string]string {
	wrong := map[string]string{}
	for i := range files {
		if files[i].Skip != "" {
			wrong[files[i].Path] = "skipped: " + files[i].Skip
		} else if c, err := files[i].Open(); err != nil {
			wrong[files[i].Path] = err.Error()
		} else {
			c.Close()
		}
	}
	return wrong
}

// TestSubmodulesWithin holds that a changed submodule brings all of its models, whatever
// .gitmodules say of it, and that one within it which is not checked out is told of.
func TestSubmodulesWithin(t *testing.T) {
	repository(t, "leaf.stl")
	leaf, err := os.Getwd()
	require.NoError(t, err)
	repository(t, "lib.stl", "archive/old.stl", "sub/lib.stl")
	lib, err := os.Getwd()
	require.NoError(t, err)
	git(t, "submodule", "--quiet", "add", leaf, "deep")
	git(t, "submodule", "--quiet", "add", leaf, "archive/deep")
	git(t, "commit", "-q", "-m", "within")
	repository(t, "a.stl")
	git(t, "submodule", "--quiet", "add", lib, "lib")
	git(t, "config", "-f", ".gitmodules", "submodule.lib.ignore", "all")
	git(t, "add", "-A")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	since := func(args ...string) []File {
		change, err := Changed(own, "HEAD")
		require.NoError(t, err)
		files, err := Find(args, Options{Include: []string{"**/*.stl"}, Exclude: []string{"lib/archive"}, Since: change})
		require.NoError(t, err)
		return files
	}
	missing := map[string]string{"lib/deep": errInnerModule.Error()}
	for _, args := range [][]string{{"."}, {"lib"}, {"a.stl", "lib"}} {
		files := since(args...)
		assert.Equal(t, []string{"lib/deep", "lib/lib.stl", "lib/sub/lib.stl"}, paths(files), args)
		assert.Equal(t, missing, failing(files), args)
	}
	assert.Equal(t, []string{"lib/sub/lib.stl"}, paths(since("lib/sub")), "a part of it, where that is named")
	assert.Empty(t, since("a.stl"))
	git(t, "submodule", "--quiet", "update", "--init", "--recursive")
	assert.Equal(t, []string{"lib/deep/leaf.stl", "lib/lib.stl", "lib/sub/lib.stl"}, paths(since(".")))
}

// TestRepositoriesThatAreNotTracked holds that they are told of, and judged when named.
func TestRepositoriesThatAreNotTracked(t *testing.T) {
	repository(t, "a.stl")
	git(t, "init", "-q", "inner")
	put(t, "inner/n.stl", "n")
	git(t, "-C", "inner", "add", "-A")
	git(t, "-C", "inner", "commit", "-q", "-m", "inner")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"inner": "skipped: a repository of its own; name it to check it"}, failing(changedSince(t, own, "HEAD")))
	change, err := Changed(own, "HEAD")
	require.NoError(t, err)
	files, err := Find([]string{"inner"}, Options{Include: models.Include, Since: change})
	require.NoError(t, err)
	assert.Equal(t, []string{"inner/n.stl"}, paths(files))
}

// TestModelsTheWalkDoesNotSee holds that a changed model is judged although a repository
// lies in its folder.
func TestModelsTheWalkDoesNotSee(t *testing.T) {
	repository(t, "sub/a.stl", "b.stl")
	put(t, "sub/a.stl", "changed")
	put(t, "sub/.git/HEAD", "ref: refs/heads/main\n")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	files := changedSince(t, own, "HEAD")
	assert.Equal(t, []string{"sub/a.stl"}, paths(files))
	assert.Equal(t, "changed", read(t, files[0]))
}

// TestALinkChangesWithItsTarget holds that a symbolic link counts as changed when what it
// leads to is.
func TestALinkChangesWithItsTarget(t *testing.T) {
	repository(t, "a.stl", "b.stl")
	require.NoError(t, os.Symlink("a.stl", "to-a.stl"))
	require.NoError(t, os.Symlink("b.stl", "to-b.stl"))
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "links")
	put(t, "a.stl", "changed")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	change, err := Changed(own, "HEAD")
	require.NoError(t, err)
	for name, want := range map[string]bool{"a.stl": true, "b.stl": false, "to-a.stl": true, "to-b.stl": false, "gone.stl": false} {
		assert.Equal(t, want, change.has(filepath.Join(own.Top, name)), name)
	}
}
