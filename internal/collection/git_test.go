package collection

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// git runs a git command in the working directory, the same for every user.
func git(t *testing.T, args ...string) {
	t.Helper()
	cmd := exec.Command("git", append([]string{"-c", "user.name=tester", "-c", "user.email=tester@example.org",
		"-c", "protocol.file.allow=always", "-c", "commit.gpgsign=false"}, args...)...)
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "git %q: %s", args, out)
}

// repository makes a repository with the named files in it, committed on main.
func repository(t *testing.T, names ...string) {
	t.Helper()
	tree(t, names...)
	git(t, "init", "-q", "-b", "main")
	git(t, "add", "-A")
	git(t, "commit", "-q", "--allow-empty", "-m", "start")
}

func put(t *testing.T, name, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
	require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
}

// found finds what lies in the paths, where nothing is to be warned of.
func found(t *testing.T, paths ...string) []File {
	t.Helper()
	files, warned := foundWith(t, paths...)
	assert.Empty(t, warned)
	return files
}

func foundWith(t *testing.T, paths ...string) (files []File, warned []string) {
	t.Helper()
	opt := models
	opt.Warn = func(text string) { warned = append(warned, text) }
	files, err := Find(paths, opt)
	require.NoError(t, err)
	return files, warned
}

func TestIgnoredModelsAreLeftOut(t *testing.T) {
	repository(t, "a.stl", "tracked.tmp.stl")
	put(t, ".gitignore", "*.tmp.stl\nbuild/\n!keep.tmp.stl\n")
	for _, name := range []string{"new.stl", "new.tmp.stl", "keep.tmp.stl", "build/out.stl", "deep/.gitignore", "deep/x.stl"} {
		put(t, name, "x.stl\n")
	}
	want := []string{"a.stl", "keep.tmp.stl", "new.stl", "tracked.tmp.stl"}
	files, warned := foundWith(t, ".")
	assert.Equal(t, want, paths(files), "tracked files are checked whatever the rules say")
	assert.Equal(t, []string{"3 models are left out because git ignores them, the first is build/out.stl; name them or their folder to check them"}, warned)
	assert.Equal(t, []string{"new.tmp.stl"}, paths(found(t, "new.tmp.stl")), "who names a file means it")
	assert.Equal(t, []string{"build/out.stl"}, paths(found(t, "build")), "who names a folder means it")
	t.Chdir("deep")
	_, err := Find([]string{"."}, models)
	assert.ErrorIs(t, err, ErrNone)
	files, _ = foundWith(t, "..")
	assert.Equal(t, []string{"../a.stl", "../keep.tmp.stl", "../new.stl", "../tracked.tmp.stl"}, paths(files))
}

func TestOutsideOfGitNothingIsIgnored(t *testing.T) {
	tree(t, ".gitignore", "a.stl", "clone/b.stl", "clone/.git/HEAD")
	put(t, ".gitignore", "*.stl\n")
	assert.Equal(t, []string{"a.stl", "clone/b.stl"}, paths(found(t, ".")))
}

func TestOtherRepositoriesAreLeftAlone(t *testing.T) {
	repository(t, "lib.stl")
	lib, err := os.Getwd()
	require.NoError(t, err)
	repository(t, "a.stl")
	git(t, "submodule", "--quiet", "add", lib, "libs/sub")
	require.NoError(t, os.Mkdir("nested", 0o777))
	git(t, "init", "-q", "nested")
	put(t, "nested/n.stl", "n")
	files := found(t, ".")
	require.Equal(t, []string{"a.stl", "libs/sub", "nested"}, paths(files))
	assert.Equal(t, "a repository of its own; name it to check it", files[1].Skip)
	assert.Equal(t, files[1].Skip, files[2].Skip)
	assert.Equal(t, []string{"libs/sub/lib.stl"}, paths(found(t, "libs/sub")))
	assert.Equal(t, []string{"nested/n.stl"}, paths(found(t, "nested")))
}

// strange are names that a stranger may give a file.
var strange = []string{
	"with space.stl", "line\nbreak.stl", "größe.stl", "'quoted\".stl", "-dash.stl", "--config=x.stl", ":(top)magic.stl",
	"back\\slash.stl", "tab\t.stl", "*.stl", "[a].stl", "bad\xffbyte.stl", "sub dir/-x/ü.stl", ":!not.stl", "#hash.stl", "!bang.stl",
}

// shown is how reports write the names in strange.
func shown() []string {
	var list []string
	for _, name := range strange {
		list = append(list, pathname.Shown(name))
	}
	return list
}

func TestStrangeNames(t *testing.T) {
	repository(t, strange...)
	assert.ElementsMatch(t, shown(), paths(found(t, ".")))
	for _, name := range strange {
		put(t, name, "changed")
	}
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	assert.ElementsMatch(t, shown(), paths(changedSince(t, own, "main")))
	git(t, "add", "-A")
	for _, name := range strange {
		put(t, name, "changed again")
	}
	staged, err := Staged(own, []string{"."}, models)
	require.NoError(t, err)
	assert.ElementsMatch(t, shown(), paths(staged))
	for i := range staged {
		assert.Equal(t, "changed", read(t, staged[i]), staged[i].Path)
		assert.Equal(t, int64(len("changed")), staged[i].Size)
	}
	git(t, "rm", "-q", "-f", "--cached", "-r", ".")
	assert.ElementsMatch(t, shown(), paths(found(t, ".")), "untracked")
	put(t, ".gitignore", "*\n")
	_, err = Find([]string{"."}, models)
	assert.ErrorIs(t, err, ErrNone, "each of them is asked about by its own name")
}

func read(t *testing.T, f File) string {
	t.Helper()
	c, err := f.Open()
	require.NoError(t, err)
	defer c.Close()
	text, err := io.ReadAll(io.NewSectionReader(c, 0, c.Size()))
	require.NoError(t, err)
	return string(text)
}

// changedSince finds the models that differ from a revision.
func changedSince(t *testing.T, own *repo.Repo, rev string) []File {
	t.Helper()
	since, err := Changed(own, rev)
	require.NoError(t, err)
	opt := models
	opt.Since = since
	files, err := Find([]string{"."}, opt)
	require.NoError(t, err)
	return files
}

func TestChangedStartsAtTheMergeBase(t *testing.T) {
	repository(t, "same.stl", "edited.stl", "renamed.stl", "gone.stl", "link.stl", "readme.md")
	git(t, "checkout", "-q", "-b", "work")
	put(t, "edited.stl", "edited")
	put(t, "readme.md", "edited")
	git(t, "mv", "renamed.stl", "moved.stl")
	git(t, "rm", "-q", "gone.stl")
	git(t, "commit", "-q", "-am", "work")
	put(t, "uncommitted.stl", "new")
	put(t, ".gitignore", "ignored.stl\n")
	put(t, "ignored.stl", "ignored")
	git(t, "checkout", "-q", "main")
	put(t, "theirs.stl", "theirs") // on the branch, but not since it was left
	put(t, "same.stl", "theirs too")
	git(t, "add", "theirs.stl", "same.stl")
	git(t, "commit", "-q", "-m", "theirs")
	git(t, "checkout", "-q", "work")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	assert.Equal(t, []string{"edited.stl", "moved.stl", "uncommitted.stl"}, paths(changedSince(t, own, "main")),
		"a rename is its new name; deletions and what others did since are left out")
	assert.Equal(t, []string{"uncommitted.stl"}, paths(changedSince(t, own, "HEAD")))
	git(t, "config", "diff.relative", "true")
	git(t, "config", "diff.renames", "copies")
	git(t, "config", "diff.external", "false")
	require.NoError(t, os.Mkdir("below", 0o777))
	t.Chdir("below")
	since, err := Changed(own, "main")
	require.NoError(t, err)
	files, err := Find([]string{".."}, Options{Base: "..", Include: models.Include, Since: since})
	require.NoError(t, err)
	assert.Equal(t, []string{"../edited.stl", "../moved.stl", "../uncommitted.stl"}, paths(files), "whatever is configured, from any folder")
}

func TestRevisionsThatAreNone(t *testing.T) {
	repository(t, "a.stl")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	for _, rev := range []string{"--output=x", "-", "", "main\nmain", "--all"} {
		_, err = Changed(own, rev)
		assert.ErrorContains(t, err, "is no revision", rev)
	}
	_, err = Changed(own, "origin/main")
	assert.EqualError(t, err, `there is no revision "origin/main" here; fetch it first, as in git fetch origin main`)
	git(t, "checkout", "-q", "--orphan", "alone")
	git(t, "commit", "-q", "-m", "no common past")
	_, err = Changed(own, "main")
	assert.ErrorContains(t, err, "no commit in common")
	assert.NoFileExists(t, "x")
	tree(t, "a.stl")
	_, err = Repository([]string{"."})
	assert.EqualError(t, err, ". does not lie in a git repository")
}

func TestPathsOfTwoRepositories(t *testing.T) {
	repository(t, "a.stl")
	top, err := resolve(".")
	require.NoError(t, err)
	git(t, "init", "-q", "inner")
	outside := t.TempDir()
	held, err := Repository([]string{"inner", "a.stl"})
	require.NoError(t, err)
	assert.Equal(t, top, held.Top, "seen from where somebody stands")
	t.Chdir(outside)
	_, err = Repository([]string{filepath.Join(top, "inner"), filepath.Join(top, "a.stl")})
	assert.ErrorContains(t, err, "a.stl does not lie in the repository at ")
	t.Chdir(top)
	_, err = Repository([]string{".", outside})
	assert.ErrorContains(t, err, "does not lie in the repository at ")
	own, err := Repository([]string{"a.stl", "."})
	require.NoError(t, err)
	assert.True(t, repo.Is(own.Top))
}

func TestChangedThroughSymbolicLinks(t *testing.T) {
	repository(t, "shelf/a.stl", "shelf/b.stl")
	put(t, "shelf/a.stl", "changed")
	require.NoError(t, os.Symlink("a.stl", "shelf/again.stl"))
	require.NoError(t, os.Symlink("../../elsewhere.stl", "shelf/out.stl"))
	top, err := os.Getwd()
	require.NoError(t, err)
	alias := filepath.Join(t.TempDir(), "alias")
	require.NoError(t, os.Symlink(top, alias))
	t.Chdir(alias)
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	files := changedSince(t, own, "main")
	require.Equal(t, []string{"shelf/a.stl", "shelf/again.stl", "shelf/out.stl"}, paths(files))
	assert.Equal(t, "changed", read(t, files[1]), "a link is judged by what it leads to")
	_, err = files[2].Open()
	assert.EqualError(t, err, "symbolic link that leads nowhere")
}
