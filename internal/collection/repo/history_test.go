package repo

import (
	"strconv"
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

// TestWhatAMergeThrewAwayDoesNotCount holds that a file which a merge left as it was on one side
// was last changed there, whatever else the merge took from the other side and whichever other
// files are asked about.
func TestWhatAMergeThrewAwayDoesNotCount(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "1", "a.step": "1", "b.stl": "1", "both.stl": "1", "in/c.stl": "1"})
	git(t, "checkout", "-q", "-b", "side")
	put(t, "a.step", "thrown away")
	put(t, "b.stl", "taken")
	put(t, "both.stl", "side")
	git(t, "commit", "-q", "-a", "-m", "side")
	git(t, "checkout", "-q", "main")
	put(t, "in/c.stl", "2")
	put(t, "both.stl", "main")
	git(t, "commit", "-q", "-a", "-m", "main")
	git(t, "merge", "-q", "-s", "ours", "--no-commit", "side")
	put(t, "b.stl", "taken")
	put(t, "both.stl", "merged")
	git(t, "commit", "-q", "-a", "-m", "merge")
	names := []string{"a.stl", "a.step", "b.stl", "both.stl", "in/c.stl", "never.stl"}
	last, err := r.LastChanged("", names)
	require.NoError(t, err)
	assert.Len(t, last, 5, "%v", last)
	assert.Equal(t, last["a.stl"], last["a.step"], "as in the first commit")
	assert.Less(t, last["both.stl"], last["b.stl"], "changed by the merge itself")
	assert.Less(t, last["b.stl"], last["a.stl"])
	assert.Less(t, last["in/c.stl"], last["a.stl"])
	for _, name := range names {
		alone, err := r.LastChanged("", []string{name})
		require.NoError(t, err)
		assert.Equal(t, last[name], alone[name], name)
	}
}

// TestALongHistory holds that what was changed before many other commits is found, and that
// names which git would take for patterns or lines are none.
func TestALongHistory(t *testing.T) {
	odd := []string{"[x].stl", "line\nbreak.stl", ":(top)y.stl", "mark\x01.stl"}
	files := map[string]string{"old.stl": "1", "new.stl": "1"}
	for _, name := range odd {
		files["odd/"+name] = "1"
	}
	r := made(t, files)
	for i := range 70 {
		git(t, "commit", "-q", "--allow-empty", "-m", strconv.Itoa(i))
	}
	put(t, "new.stl", "2")
	git(t, "commit", "-q", "-a", "-m", "last")
	ask := []string{"old.stl", "new.stl"}
	for _, name := range odd {
		ask = append(ask, "odd/"+name)
	}
	last, err := r.LastChanged("", ask)
	require.NoError(t, err)
	assert.Len(t, last, len(ask), "%v", last)
	assert.Less(t, last["new.stl"], last["old.stl"])
	for _, name := range odd {
		assert.Equal(t, last["old.stl"], last["odd/"+name], name)
	}
}
