package repo

import (
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestKindsOfRepositories asks the same of every kind of repository there is: its answers
// must be those of a plain one. Each starts as a clone of a shelf with two commits, of
// which the second changed b.stl; then a.stl is changed and c.stl is new.
func TestKindsOfRepositories(t *testing.T) {
	for name, clone := range map[string]func(*testing.T, string){
		"plain":       func(t *testing.T, shelf string) { git(t, "clone", "-q", shelf, "work") },
		"packed":      packed,
		"alternates":  func(t *testing.T, shelf string) { git(t, "clone", "-q", "--shared", shelf, "work") },
		"shallow":     func(t *testing.T, shelf string) { git(t, "clone", "-q", "--depth", "2", "file://"+shelf, "work") },
		"no blobs":    func(t *testing.T, shelf string) { git(t, "clone", "-q", "--filter=blob:none", "file://"+shelf, "work") },
		"linked":      linked,
		"submodule":   submodule,
		"git a link":  gitIsALink,
		"odd name":    oddName,
		"split index": func(t *testing.T, shelf string) { configured(t, shelf, "update-index", "--split-index") },
		"index 4":     func(t *testing.T, shelf string) { configured(t, shelf, "update-index", "--index-version", "4") },
		"sparse index": func(t *testing.T, shelf string) {
			configured(t, shelf, "sparse-checkout", "set", "--cone", "--sparse-index", "sub")
		},
	} {
		t.Run(name, func(t *testing.T) {
			shelf := filepath.Join(t.TempDir(), "shelf")
			git(t, "init", "-q", "-b", "main", shelf)
			t.Chdir(shelf)
			git(t, "config", "uploadpack.allowFilter", "true")
			for _, name := range []string{"a.stl", "b.stl", "sub/s.stl", "far/f.stl", ".gitignore"} {
				put(t, name, name)
			}
			put(t, ".gitignore", "*.tmp.stl\n")
			git(t, "add", "-A")
			git(t, "commit", "-q", "-m", "first")
			put(t, "b.stl", "second")
			git(t, "commit", "-q", "-am", "second")
			t.Chdir(t.TempDir())
			clone(t, shelf)
			t.Chdir("work")
			r := here(t)
			assert.Empty(t, changed(t, r, "HEAD"))
			put(t, "a.stl", "changed")
			put(t, "c.stl", "new")
			put(t, "d.tmp.stl", "ignored")
			assert.Equal(t, []string{"a.stl", "c.stl"}, changed(t, r, "HEAD"))
			assert.Equal(t, []string{"a.stl", "b.stl", "c.stl"}, changed(t, r, "HEAD~1"))
			git(t, "add", "a.stl")
			staged, err := r.Staged()
			require.NoError(t, err)
			require.Len(t, staged, 1)
			text, err := r.Blob(staged[0])
			require.NoError(t, err)
			assert.Equal(t, "changed", string(text))
			ignored, err := r.Ignored([]string{"c.stl", "d.tmp.stl", "sub/e.tmp.stl"})
			require.NoError(t, err)
			assert.Equal(t, map[string]bool{"d.tmp.stl": true, "sub/e.tmp.stl": true}, ignored)
			text, err = r.Text("HEAD", ".gitignore")
			require.NoError(t, err)
			assert.Equal(t, "*.tmp.stl\n", string(text))
			text, err = r.StagedText("a.stl")
			require.NoError(t, err)
			assert.Equal(t, "changed", string(text))
			assert.Empty(t, leftovers(t))
		})
	}
}

// leftovers are folders of ours that were not removed.
func leftovers(t *testing.T) []string {
	list, err := filepath.Glob(filepath.Join(os.TempDir(), "printlint-git-*"))
	require.NoError(t, err)
	return list
}

// TestMain gives the tests a folder for temporary files of their own, so that what is
// left over can be told from what others do at the same time.
func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "repo-test-")
	if err != nil {
		panic(err)
	}
	os.Setenv("TMPDIR", dir)
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

func packed(t *testing.T, shelf string) {
	git(t, "clone", "-q", shelf, "work")
	git(t, "-C", "work", "gc", "-q")
}

func linked(t *testing.T, shelf string) {
	git(t, "clone", "-q", shelf, "main")
	git(t, "-C", "main", "worktree", "add", "-q", "-b", "work", "../work")
}

func submodule(t *testing.T, shelf string) {
	git(t, "init", "-q", "outer")
	git(t, "-C", "outer", "-c", "protocol.file.allow=always", "submodule", "--quiet", "add", shelf, "work")
	require.NoError(t, os.Symlink("outer/work", "work"))
}

func oddName(t *testing.T, shelf string) {
	git(t, "clone", "-q", shelf, "odd \"\\\nname:x")
	require.NoError(t, os.Symlink("odd \"\\\nname:x", "work"))
}

func gitIsALink(t *testing.T, shelf string) {
	git(t, "clone", "-q", shelf, "work")
	require.NoError(t, os.Rename("work/.git", "elsewhere"))
	require.NoError(t, os.Symlink("../elsewhere", "work/.git"))
}

func configured(t *testing.T, shelf string, args ...string) {
	git(t, "clone", "-q", shelf, "work")
	git(t, append([]string{"-C", "work"}, args...)...)
}

// TestTheOtherHash asks a repository whose objects go by SHA-256.
func TestTheOtherHash(t *testing.T) {
	t.Chdir(t.TempDir())
	git(t, "init", "-q", "-b", "main", "--object-format=sha256")
	r := here(t)
	before, err := r.Commit("HEAD")
	require.NoError(t, err)
	assert.True(t, BeforeAll(before))
	put(t, "a.stl", "a")
	git(t, "add", "-A")
	staged, err := r.Staged()
	require.NoError(t, err)
	require.Len(t, staged, 1)
	assert.Len(t, staged[0].Hash, 64)
	git(t, "commit", "-q", "-m", "first")
	put(t, "b.stl", "b")
	assert.Equal(t, []string{"b.stl"}, changed(t, r, "main"))
	assert.Equal(t, []string{"a.stl", "b.stl"}, changed(t, r, strings.Repeat("0", 64)))
}

// TestBeforeTheFirstCommit holds what stands for the point before all, and what does not:
// a commit that a shallow clone lacks is missing.
func TestBeforeTheFirstCommit(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	zeros := strings.Repeat("0", 40)
	for _, rev := range []string{zeros, "HEAD~1", "HEAD^", "main~", "main^1"} {
		hash, err := r.Commit(rev)
		require.NoError(t, err, rev)
		assert.True(t, BeforeAll(hash), rev)
		assert.Equal(t, []string{"a.stl"}, changed(t, r, rev))
	}
	_, err := r.Text(emptySHA1, "a.stl")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	put(t, "a.stl", "b")
	git(t, "commit", "-q", "-am", "second")
	shallow := filepath.Join(t.TempDir(), "shallow")
	git(t, "clone", "-q", "--depth", "1", "file://"+r.Top, shallow)
	t.Chdir(shallow)
	_, err = here(t).Commit("HEAD~1")
	assert.ErrorContains(t, err, `there is no revision "HEAD~1" here; fetch it first`)
}

// TestRevisionsOfOtherKinds holds names that lead through files beside the branches.
func TestRevisionsOfOtherKinds(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	first := git(t, "rev-parse", "HEAD")
	clone := filepath.Join(t.TempDir(), "clone")
	git(t, "clone", "-q", r.Top, clone)
	t.Chdir(clone)
	put(t, "a.stl", "b")
	git(t, "commit", "-q", "-am", "second")
	git(t, "fetch", "-q", "origin", "main")
	git(t, "pack-refs", "--all")
	r = here(t)
	for _, rev := range []string{"@{upstream}", "@{u}", "FETCH_HEAD", "HEAD@{1}", "origin/main", "main~1"} {
		hash, err := r.Commit(rev)
		require.NoError(t, err, rev)
		assert.Equal(t, first, hash, rev)
	}
}

// TestWhatIsReplacedIsRead holds that a replaced object is not taken for the real one.
func TestWhatIsReplacedIsRead(t *testing.T) {
	r := made(t, map[string]string{"rules.yml": "strict", "other": "lax"})
	git(t, "replace", git(t, "rev-parse", "HEAD:rules.yml"), git(t, "rev-parse", "HEAD:other"))
	text, err := r.Text("HEAD", "rules.yml")
	require.NoError(t, err)
	assert.Equal(t, "strict", string(text))
}

// TestContentThatWasNotFetched holds that rules which are in a revision, but were never
// fetched, are no missing rules.
func TestContentThatWasNotFetched(t *testing.T) {
	r := made(t, map[string]string{"rules.yml": "old"})
	put(t, "rules.yml", "new")
	git(t, "commit", "-q", "-am", "second")
	git(t, "config", "uploadpack.allowFilter", "true")
	clone := filepath.Join(t.TempDir(), "clone")
	git(t, "clone", "-q", "--filter=blob:none", "file://"+r.Top, clone)
	t.Chdir(clone)
	commit, err := here(t).Commit("HEAD~1")
	require.NoError(t, err)
	_, err = here(t).Text(commit, "rules.yml")
	assert.EqualError(t, err, "its content was not fetched into this repository; run git show "+commit[:12]+":rules.yml once, or clone without a filter")
	git(t, "show", commit[:12]+":rules.yml")
	text, err := here(t).Text(commit, "rules.yml")
	require.NoError(t, err)
	assert.Equal(t, "old", string(text))
}

// TestRulesThatAreTooLarge holds that a file of rules which unpacks into very much is not
// read into memory.
func TestRulesThatAreTooLarge(t *testing.T) {
	r := made(t, map[string]string{"rules.yml": strings.Repeat("#", rulesSize+1)})
	_, err := r.Text("HEAD", "rules.yml")
	assert.EqualError(t, err, "larger than 16 MiB, which no rules are")
	_, err = r.StagedText("rules.yml")
	assert.EqualError(t, err, "larger than 16 MiB, which no rules are")
}

// TestFilesGitIsToldNotToLookAt holds that they are looked at.
func TestFilesGitIsToldNotToLookAt(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a", "b.stl": "b", "c.stl": "c"})
	git(t, "update-index", "--assume-unchanged", "a.stl")
	git(t, "update-index", "--skip-worktree", "b.stl")
	assert.Empty(t, changed(t, r, "HEAD"))
	put(t, "a.stl", "changed")
	put(t, "b.stl", "changed")
	assert.Equal(t, []string{"a.stl", "b.stl"}, changed(t, r, "HEAD"))
}

// TestLargeFiles holds that large files are known by their digest, with no filter run: a
// file is changed when its content is, and what is staged is found in the store or in the
// work tree.
func TestLargeFiles(t *testing.T) {
	pointer := func(text string) string {
		return fmt.Sprintf("version https://git-lfs.github.com/spec/v1\noid sha256:%x\nsize %d\n", sha256.Sum256([]byte(text)), len(text))
	}
	r := made(t, map[string]string{".gitattributes": "*.stl filter=lfs -text\n", "same.stl": pointer("large"), "edited.stl": pointer("old"), "unfetched.stl": pointer("far")})
	put(t, "same.stl", "large")
	put(t, "edited.stl", "new")
	assert.Equal(t, []string{"edited.stl"}, changed(t, r, "HEAD"))

	for name, text := range map[string]string{"kept.stl": "kept", "lies.stl": "lies", "gone.stl": "gone"} {
		put(t, name, pointer(text))
	}
	git(t, "add", "-A", "kept.stl", "lies.stl", "gone.stl")
	digest := fmt.Sprintf("%x", sha256.Sum256([]byte("kept")))
	put(t, ".git/lfs/objects/"+digest[:2]+"/"+digest[2:4]+"/"+digest, "kept")
	digest = fmt.Sprintf("%x", sha256.Sum256([]byte("gone")))
	put(t, ".git/lfs/objects/"+digest[:2]+"/"+digest[2:4]+"/"+digest, "fake") // of the same size
	put(t, "lies.stl", "lies")
	staged, err := r.Staged()
	require.NoError(t, err)
	require.Len(t, staged, 3)
	want := map[string]string{"kept.stl": "kept", "lies.stl": "lies", "gone.stl": pointer("gone")}
	for _, e := range staged {
		text, err := r.Blob(e)
		require.NoError(t, err)
		assert.Equal(t, want[e.Path], string(text), e.Path)
		assert.EqualValues(t, 4, e.Size, "of the content")
	}
}

// TestLineEnds holds that line ends that the repository and the work tree keep apart make
// no change.
func TestLineEnds(t *testing.T) {
	r := made(t, map[string]string{".gitattributes": "*.obj text eol=crlf\n", "a.obj": "v 0\nv 1\n", "b.off": "OFF\n"})
	put(t, "a.obj", "v 0\r\nv 1\r\n")
	assert.Empty(t, changed(t, r, "HEAD"))
	put(t, "\"odd\nname\\.obj", "v 0\n")
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "odd")
	put(t, "\"odd\nname\\.obj", "v 0\r\n")
	assert.Empty(t, changed(t, r, "HEAD"))
	git(t, "config", "core.autocrlf", "true")
	put(t, "b.off", "OFF\r\n")
	assert.Empty(t, changed(t, here(t), "HEAD"))
}

// TestAttributesThatTouchModels holds that files which .gitattributes make others than
// before count as changed, and only those.
func TestAttributesThatTouchModels(t *testing.T) {
	r := made(t, map[string]string{"a.obj": "a", "b.stl": "b", "sub/c.obj": "c", "sub/.gitattributes": "*.stl -text\n"})
	put(t, ".gitattributes", "*.md text\n*.stl diff=solid\n")
	assert.Equal(t, []string{".gitattributes"}, changed(t, r, "HEAD"))
	put(t, ".gitattributes", "*.obj text eol=crlf\n")
	assert.Equal(t, []string{".gitattributes", "a.obj", "sub/c.obj"}, changed(t, r, "HEAD"))
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "attributes")
	git(t, "rm", "-q", ".gitattributes")
	assert.Equal(t, []string{"a.obj", "sub/c.obj"}, changed(t, r, "HEAD"), "deleted ones count too")
}

// TestExtensionsThatAreNotKnown holds that a repository which must be read otherwise is
// not read at all.
func TestExtensionsThatAreNotKnown(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	git(t, "config", "extensions.novel", "true")
	_, err := r.Commit("main")
	assert.EqualError(t, err, `the repository's extension "extensions.novel" is not known here`)
}

// TestTheUsersOwnIgnoreRules holds that the rules which the user keeps for all
// repositories hold, and that a repository names no file of rules.
func TestTheUsersOwnIgnoreRules(t *testing.T) {
	r := made(t, map[string]string{"own": "*.theirs.stl\n"})
	git(t, "config", "core.excludesFile", filepath.Join(r.Top, "own"))
	home := t.TempDir()
	put(t, filepath.Join(home, "rules"), "*.mine.stl\n")
	put(t, filepath.Join(home, "config"), "[core]\n\texcludesFile = "+filepath.Join(home, "rules")+"\n")
	t.Setenv("GIT_CONFIG_GLOBAL", filepath.Join(home, "config"))
	got, err := here(t).Ignored([]string{"a.mine.stl", "a.theirs.stl"})
	require.NoError(t, err)
	assert.Equal(t, map[string]bool{"a.mine.stl": true}, got)
}
