package collection

import (
	"archive/zip"
	"bytes"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func stagedIn(t *testing.T, args ...string) []File {
	t.Helper()
	own, err := Repository(args)
	require.NoError(t, err)
	files, err := Staged(own, args, Options{Include: append([]string{"**/*.zip"}, models.Include...), Exclude: []string{"archive/**"}})
	require.NoError(t, err)
	return files
}

func TestStagedIsWhatTheCommitWillHold(t *testing.T) {
	repository(t, "same.stl", "edited.stl", "gone.stl", "old.stl", "folder-only.stl")
	assert.Empty(t, stagedIn(t, "."), "nothing staged is no error")
	put(t, "edited.stl", "staged")
	put(t, "parts/added.stl", "added")
	put(t, "archive/b.stl", "left out")
	put(t, "readme.md", "no model")
	git(t, "mv", "old.stl", "new.stl")
	git(t, "rm", "-q", "gone.stl")
	require.NoError(t, os.Symlink("same.stl", "link.stl"))
	git(t, "add", "-A")
	put(t, "edited.stl", "later")
	put(t, "folder-only.stl", "later")
	put(t, "untracked.stl", "later")
	require.NoError(t, os.Remove("parts/added.stl"))
	files := stagedIn(t, ".")
	require.Equal(t, []string{"edited.stl", "link.stl", "new.stl", "parts/added.stl"}, paths(files))
	assert.Equal(t, "staged", read(t, files[0]))
	assert.Equal(t, "same.stl", read(t, files[1]), "what the link leads to, under its own path")
	assert.Equal(t, "old.stl", read(t, files[2]))
	assert.Equal(t, "added", read(t, files[3]), "gone from the folder, still in the commit")
	assert.Equal(t, []string{"parts/added.stl"}, paths(stagedIn(t, "parts")))
	assert.Equal(t, []string{"edited.stl"}, paths(stagedIn(t, "edited.stl", "same.stl")))
	named := stagedIn(t, "archive/b.stl")
	require.Len(t, named, 1)
	assert.Equal(t, skipExcluded, named[0].Skip)
	t.Chdir("parts")
	assert.Equal(t, []string{"../edited.stl"}, paths(stagedIn(t, "../edited.stl")))
}

func TestStagedBeforeTheFirstCommit(t *testing.T) {
	tree(t, "a.stl", "b.stl")
	git(t, "init", "-q")
	git(t, "add", "a.stl")
	assert.Equal(t, []string{"a.stl"}, paths(stagedIn(t, ".")))
}

func TestStagedInAHook(t *testing.T) {
	repository(t, "a.stl", "b.stl")
	put(t, "a.stl", "staged")
	git(t, "add", "a.stl")
	// What `git commit b.stl` does: another index for the time of the hook.
	index, err := os.ReadFile(".git/index")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(".git/next-index", index, 0o666))
	t.Setenv("GIT_INDEX_FILE", ".git/next-index")
	t.Setenv("GIT_DIR", ".git")
	put(t, "b.stl", "also")
	git(t, "add", "b.stl")
	assert.Equal(t, []string{"a.stl", "b.stl"}, paths(stagedIn(t, ".")))
	// The hook of one repository asks about another: its variables say nothing there.
	tree(t, "c.stl")
	require.NoError(t, os.Unsetenv("GIT_INDEX_FILE"))
	require.NoError(t, os.Unsetenv("GIT_DIR"))
	git(t, "init", "-q")
	git(t, "add", "c.stl")
	t.Setenv("GIT_INDEX_FILE", "/nowhere/.git/index")
	t.Setenv("GIT_DIR", "/nowhere/.git")
	assert.Equal(t, []string{"c.stl"}, paths(stagedIn(t, ".")))
}

func TestStagedConflictIsAnError(t *testing.T) {
	repository(t, "a.stl")
	git(t, "checkout", "-q", "-b", "work")
	put(t, "a.stl", "ours")
	git(t, "commit", "-q", "-am", "ours")
	git(t, "checkout", "-q", "main")
	put(t, "a.stl", "theirs")
	git(t, "commit", "-q", "-am", "theirs")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	require.Error(t, exec.Command("git", "-c", "user.name=t", "-c", "user.email=t@example.org", "merge", "work").Run())
	_, err = Staged(own, []string{"."}, models)
	assert.EqualError(t, err, "a.stl is not merged; settle it and stage it first")
}

// TestStagedRunsNoFilter holds that line ends are as a checkout would write them, and that
// what only a program could make is said to be unknown.
func TestStagedRunsNoFilter(t *testing.T) {
	repository(t, ".gitattributes")
	put(t, ".gitattributes", "*.stl filter=swap\n*.obj text eol=crlf\n")
	git(t, "config", "filter.swap.clean", "tr a-z A-Z")
	git(t, "config", "filter.swap.smudge", "tr A-Z a-z")
	put(t, "a.stl", "abc")
	put(t, "b.obj", "v 0\r\nv 1\r\n")
	git(t, "add", "-A")
	files := stagedIn(t, ".")
	require.Equal(t, []string{"a.stl", "b.obj"}, paths(files))
	_, err := files[0].Open()
	assert.EqualError(t, err, `a checkout would pass its content through the filter "swap", and no filter is run here; check the folder instead of what is staged`)
	assert.Equal(t, "v 0\r\nv 1\r\n", read(t, files[1]))
}

func TestStagedPacksAreOpened(t *testing.T) {
	repository(t)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range []string{"one.stl", "in/two.stl", "readme.txt"} {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(name))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	put(t, "pack.zip", b.String())
	git(t, "add", "-A")
	require.NoError(t, os.Remove("pack.zip"))
	files := stagedIn(t, ".")
	require.Equal(t, []string{"pack.zip!/in/two.stl", "pack.zip!/one.stl"}, paths(files))
	assert.Equal(t, "in/two.stl", read(t, files[0]))
	assert.Equal(t, "one.stl", read(t, files[1]))
}

// TestChangedPacksAreOpened holds that a pack that was added or changed is checked whole,
// and one that was not is left alone.
func TestChangedPacksAreOpened(t *testing.T) {
	repository(t)
	pack := func(names ...string) string {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for _, name := range names {
			w, err := z.Create(name)
			require.NoError(t, err)
			_, err = w.Write([]byte(name))
			require.NoError(t, err)
		}
		require.NoError(t, z.Close())
		return b.String()
	}
	put(t, "same.zip", pack("a.stl"))
	put(t, "grown.zip", pack("a.stl"))
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "packs")
	put(t, "grown.zip", pack("a.stl", "b.stl"))
	put(t, "added.zip", pack("c.stl"))
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	since, err := Changed(own, "main")
	require.NoError(t, err)
	files, err := Find([]string{"."}, Options{Include: []string{"**/*.zip"}, Since: since})
	require.NoError(t, err)
	assert.Equal(t, []string{"added.zip!/c.stl", "grown.zip!/a.stl", "grown.zip!/b.stl"}, paths(files))
}
