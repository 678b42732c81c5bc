package collection

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// beforeOf lists what the changed files were.
func beforeOf(t *testing.T, rev string, named ...string) []File {
	t.Helper()
	own, err := Repository(named)
	require.NoError(t, err)
	since, err := Changed(own, rev)
	require.NoError(t, err)
	opt := Options{Include: models.Include, Exclude: []string{"left/**"}, Since: since}
	now, err := Find(named, opt)
	require.NoError(t, err)
	commit, files, err := Before(own, rev, now, named, opt)
	require.NoError(t, err)
	assert.Len(t, commit, 40)
	return files
}

func TestWhatChangedFilesWere(t *testing.T) {
	repository(t, "same.stl", "edited.stl", "renamed.stl", "sub/gone.stl", "left/gone.stl", "left/edited.stl", "gone.md")
	put(t, "edited.stl", "edited")
	put(t, "left/edited.stl", "edited")
	put(t, "new.stl", "new")
	git(t, "mv", "renamed.stl", "moved.stl")
	git(t, "rm", "-q", "sub/gone.stl", "left/gone.stl", "gone.md")
	files := beforeOf(t, "HEAD", ".")
	require.Equal(t, []string{"edited.stl", "renamed.stl", "sub/gone.stl"}, paths(files), "neither what is the same, nor new, nor excluded")
	assert.Equal(t, "edited.stl", read(t, files[0]), "as it was")
	assert.Equal(t, "sub/gone.stl", read(t, files[2]))
	assert.Equal(t, []string{"edited.stl"}, paths(beforeOf(t, "HEAD", "edited.stl")), "of what was named")
	git(t, "commit", "-q", "-am", "all of it")
	assert.Equal(t, []string{"edited.stl", "renamed.stl", "sub/gone.stl"}, paths(beforeOf(t, "HEAD~1", ".")))
	assert.Empty(t, beforeOf(t, "HEAD", "."))
	assert.Empty(t, beforeOf(t, "0000000000000000000000000000000000000000", "."), "the point before the first commit")
}
