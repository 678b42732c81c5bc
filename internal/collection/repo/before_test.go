package repo

import (
	"crypto/sha256"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhatFilesWereBefore holds that the old content of large files is found where it is
// kept, and that content which was not fetched is listed and cannot be read.
func TestWhatFilesWereBefore(t *testing.T) {
	sum := fmt.Sprintf("%x", sha256.Sum256([]byte("kept")))
	pointer := "version https://git-lfs.github.com/spec/v1\noid sha256:" + sum + "\nsize 4\n"
	r := made(t, map[string]string{".gitattributes": "large.stl filter=lfs -text\n", "large.stl": pointer, "plain.stl": "old", "gone.stl": "gone", "same.stl": "same"})
	git(t, "config", "uploadpack.allowFilter", "true")
	put(t, ".git/lfs/objects/"+sum[:2]+"/"+sum[2:4]+"/"+sum, "kept")
	put(t, "large.stl", "new")
	put(t, "plain.stl", "new, and longer")
	git(t, "rm", "-q", "gone.stl")
	put(t, "added.stl", "added")
	commit, list, err := r.Before("HEAD")
	require.NoError(t, err)
	assert.Len(t, commit, 40)
	require.Len(t, list, 3)
	for i, want := range []struct {
		path, text string
		gone       bool
	}{{"gone.stl", "gone", true}, {"large.stl", "kept", false}, {"plain.stl", "old", false}} {
		text, err := r.Blob(list[i].IndexEntry)
		require.NoError(t, err)
		assert.Equal(t, want.text, string(text), want.path)
		assert.Equal(t, want.path, list[i].Path)
		assert.Equal(t, want.gone, list[i].Gone, want.path)
		assert.EqualValues(t, len(want.text), list[i].Size, want.path)
	}

	git(t, "commit", "-q", "-m", "second", "plain.stl", "gone.stl")
	clone := filepath.Join(t.TempDir(), "clone")
	git(t, "clone", "-q", "--filter=blob:none", "file://"+r.Top, clone)
	t.Chdir(clone)
	_, list, err = here(t).Before("HEAD~1")
	require.NoError(t, err)
	require.Len(t, list, 2)
	_, err = here(t).Blob(list[0].IndexEntry)
	assert.Error(t, err)
}
