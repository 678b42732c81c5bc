package repo

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhatWasChangedLast holds the order of the commits that changed files last, and that
// nothing is said of what is not committed as it is now.
func TestWhatWasChangedLast(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "1", "a.step": "1", "b [x].stl": "1", "same.stl": "1", "touched.stl": "1"})
	put(t, "a.step", "2")
	put(t, "b [x].stl", "2")
	git(t, "commit", "-q", "-a", "-m", "second")
	git(t, "checkout", "-q", "-b", "side", "HEAD~1")
	put(t, "same.stl", "2")
	git(t, "commit", "-q", "-a", "-m", "side")
	git(t, "checkout", "-q", "main")
	git(t, "merge", "-q", "--no-edit", "side")
	put(t, "touched.stl", "not committed")
	put(t, "new.stl", "new")
	put(t, "staged.stl", "staged")
	git(t, "add", "staged.stl")
	last, err := r.LastChanged("", []string{"a.stl", "a.step", "b [x].stl", "same.stl", "touched.stl", "new.stl", "staged.stl", "gone.stl"})
	require.NoError(t, err)
	assert.Len(t, last, 4, "%v", last)
	assert.Less(t, last["a.step"], last["a.stl"])
	assert.Equal(t, last["a.step"], last["b [x].stl"], "one commit changed both")
	assert.Less(t, last["same.stl"], last["a.stl"], "through a merge")
	last, err = r.LastChanged("", nil)
	require.NoError(t, err)
	assert.Empty(t, last)
}

// TestNoHistory holds that a repository before its first commit has none.
func TestNoHistory(t *testing.T) {
	t.Chdir(t.TempDir())
	git(t, "init", "-q", "-b", "main")
	put(t, "a.stl", "1")
	git(t, "add", "-A")
	last, err := here(t).LastChanged("", []string{"a.stl"})
	require.NoError(t, err)
	assert.Empty(t, last)
	names, err := here(t).Indexed()
	require.NoError(t, err)
	assert.Equal(t, []string{"a.stl"}, names)
}
