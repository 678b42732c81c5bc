package repo

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCommitOfARevision holds that each way people write a revision leads to the hash of
// a commit, and that nothing else does.
func TestCommitOfARevision(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	first := git(t, "rev-parse", "HEAD")
	git(t, "tag", "v1")
	git(t, "tag", "-a", "-m", "signed off", "v1-annotated")
	put(t, "a.stl", "b")
	git(t, "commit", "-q", "-a", "-m", "second")
	git(t, "branch", "feature/deep")
	second := git(t, "rev-parse", "HEAD")
	for rev, want := range map[string]string{
		"v1": first, "v1-annotated": first, "HEAD~1": first, "main^": first, first: first, first[:8]: first,
		"main": second, "HEAD": second, "feature/deep": second, "refs/heads/main": second,
	} {
		got, err := r.Commit(rev)
		require.NoError(t, err, rev)
		assert.Equal(t, want, got, rev)
	}
	for _, rev := range []string{"", "-h", "--all", "main\nv1", "ma\x00in"} {
		_, err := r.Commit(rev)
		assert.ErrorContains(t, err, "is no revision; name a branch", "%q", rev)
	}
	for _, rev := range []string{"gone", "origin/main", "v1..main", "main:a.stl", "HEAD~9", strings.Repeat("0", 7), "main --"} {
		_, err := r.Commit(rev)
		assert.ErrorContains(t, err, "there is no revision", "%q", rev)
	}
}

// TestChangedSinceTheBranchLeft plays a branch and its main on past each other: what
// main changed meanwhile is no change of the branch.
func TestChangedSinceTheBranchLeft(t *testing.T) {
	r := made(t, map[string]string{"same.stl": "s", "edited.stl": "e", "gone.stl": "g", "old name.stl": "moved about", "main.stl": "m", ".gitignore": "*.tmp\n"})
	git(t, "checkout", "-q", "-b", "work")
	put(t, "edited.stl", "e2")
	require.NoError(t, os.Remove("gone.stl"))
	git(t, "mv", "old name.stl", "new\tname \"x\".stl")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "work")
	put(t, "staged.stl", "1")
	git(t, "add", "staged.stl")
	put(t, "loose Möhre.stl", "2")
	put(t, "skip.tmp", "3")
	put(t, "sub/deep.stl", "4")
	git(t, "checkout", "-q", "main", "--", ".gitignore")
	git(t, "stash", "-q", "--include-untracked")
	git(t, "checkout", "-q", "main")
	put(t, "main.stl", "m2")
	git(t, "commit", "-q", "-a", "-m", "meanwhile")
	git(t, "checkout", "-q", "work")
	git(t, "stash", "pop", "-q")
	want := []string{"edited.stl", "loose Möhre.stl", "new\tname \"x\".stl", "staged.stl", "sub/deep.stl"}
	assert.Equal(t, want, changed(t, r, "main"))

	// The user's own settings for diff change nothing.
	for key, value := range map[string]string{
		"diff.noprefix": "true", "diff.renames": "copies", "core.quotePath": "true", "diff.relative": "true", "status.showUntrackedFiles": "no", "color.ui": "always",
	} {
		git(t, "config", key, value)
	}
	assert.Equal(t, want, changed(t, r, "main"))
	assert.Equal(t, []string{"loose Möhre.stl", "staged.stl", "sub/deep.stl"}, changed(t, r, "HEAD"))
}

// TestNoCommitInCommon holds that a history of its own is complained about, not taken
// for a change of everything.
func TestNoCommitInCommon(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	git(t, "checkout", "-q", "--orphan", "island")
	git(t, "commit", "-q", "-m", "apart")
	_, err := r.Changed("main")
	assert.EqualError(t, err, "main and this work tree have no commit in common here; a shallow clone may lack it, fetch the whole history")
}

// changed lists the paths that differ from a revision.
func changed(t *testing.T, r *Repo, rev string) (paths []string) {
	t.Helper()
	list, err := r.Changed(rev)
	require.NoError(t, err)
	for _, c := range list {
		paths = append(paths, c.Path)
	}
	return paths
}

// TestStagedIsWhatDiffers holds the list of what is staged: sizes and kinds told, what
// is deleted, unstaged or only announced left out.
func TestStagedIsWhatDiffers(t *testing.T) {
	r := made(t, map[string]string{"same.stl": "s", "edited.stl": "e", "gone.stl": "g", "later.stl": "l", "mode.stl": "m"})
	head := git(t, "rev-parse", "HEAD")
	put(t, "edited.stl", "longer")
	put(t, "odd \"name\"\n.stl", "12345")
	require.NoError(t, os.Remove("gone.stl"))
	require.NoError(t, os.Symlink("same.stl", "link.stl"))
	require.NoError(t, os.Chmod("mode.stl", 0o755))
	git(t, "add", "-A")
	git(t, "update-index", "--add", "--cacheinfo", "160000,"+head+",module")
	put(t, "later.stl", "not staged")
	put(t, "announced.stl", "not staged")
	git(t, "add", "-N", "announced.stl")
	list, err := r.Staged()
	require.NoError(t, err)
	seen := map[string]IndexEntry{}
	for _, e := range list {
		assert.Len(t, e.Hash, 40, e.Path)
		e.Hash = ""
		seen[e.Path] = e
	}
	assert.Equal(t, map[string]IndexEntry{
		"edited.stl":         {Path: "edited.stl", Size: 6},
		"odd \"name\"\n.stl": {Path: "odd \"name\"\n.stl", Size: 5},
		"link.stl":           {Path: "link.stl", Size: 8, Kind: Link},
		"module":             {Path: "module", Kind: Module},
		"mode.stl":           {Path: "mode.stl", Size: 1},
	}, seen)
	for _, e := range list {
		if e.Kind == Module {
			continue
		}
		text, err := r.Blob(e)
		require.NoError(t, err, e.Path)
		assert.Len(t, text, int(e.Size), e.Path)
	}
}

// TestIgnoredNames holds that no name is taken for a pattern, whatever it looks like.
func TestIgnoredNames(t *testing.T) {
	r := made(t, map[string]string{".gitignore": "/scratch/\n*.bak.stl\n!keep.bak.stl\n", "tracked.bak.stl": "t"})
	git(t, "add", "-f", "tracked.bak.stl")
	paths := []string{"scratch/a.stl", "a.bak.stl", "keep.bak.stl", "tracked.bak.stl", ":(top)a.stl", "*", "a\nb.bak.stl", "-x.bak.stl", "deep/scratch/a.stl"}
	got, err := r.Ignored(paths)
	require.NoError(t, err)
	for path, want := range map[string]bool{
		"scratch/a.stl": true, "a.bak.stl": true, "keep.bak.stl": false, ":(top)a.stl": false, "*": false, "a\nb.bak.stl": true,
		"-x.bak.stl": true, "deep/scratch/a.stl": false, "tracked.bak.stl": false,
	} {
		assert.Equal(t, want, got[path], "%q", path)
	}
	none, err := r.Ignored(nil)
	require.NoError(t, err)
	assert.Empty(t, none)
}
