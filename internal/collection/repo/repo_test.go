package repo

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// git runs a git command in the working directory, the same for every user.
func git(t *testing.T, args ...string) string {
	t.Helper()
	cmd := exec.Command("git", append([]string{"-c", "user.name=tester", "-c", "user.email=tester@example.org", "-c", "commit.gpgsign=false"}, args...)...)
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "git %q: %s", args, out)
	return strings.TrimSpace(string(out))
}

func put(t *testing.T, name, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
	require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
}

// made is a repository with the files, committed on main.
func made(t *testing.T, files map[string]string) *Repo {
	t.Helper()
	t.Chdir(t.TempDir())
	git(t, "init", "-q", "-b", "main")
	for name, text := range files {
		put(t, name, text)
	}
	git(t, "add", "-A")
	git(t, "commit", "-q", "--allow-empty", "-m", "start")
	return here(t)
}

func here(t *testing.T) *Repo {
	t.Helper()
	cwd, err := os.Getwd()
	require.NoError(t, err)
	real, err := filepath.EvalSymlinks(cwd)
	require.NoError(t, err)
	r := At(real)
	require.NotNil(t, r)
	return r
}

func TestTextOfARevision(t *testing.T) {
	r := made(t, map[string]string{"rules.yml": "old\n", "sub/house rules.yml": "no break at the end", "empty.yml": "", "-x:y.yml": "odd"})
	require.NoError(t, os.Symlink("../rules.yml", "sub/link.yml"))
	require.NoError(t, os.Symlink("../../outside.yml", "sub/out.yml"))
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "links")
	put(t, "rules.yml", "new\n")
	commit, err := r.Commit("main")
	require.NoError(t, err)
	assert.Len(t, commit, 40)
	for path, want := range map[string]string{
		"rules.yml": "old\n", "sub/house rules.yml": "no break at the end", "empty.yml": "", "sub/link.yml": "old\n", "-x:y.yml": "odd",
	} {
		got, err := r.Text(commit, path)
		require.NoError(t, err, path)
		assert.Equal(t, want, string(got), path)
	}
	for _, path := range []string{"gone.yml", "rules.yml/x", "a\nb", "sub/gone.yml"} {
		_, err = r.Text(commit, path)
		assert.ErrorIs(t, err, fs.ErrNotExist, path)
	}
	_, err = r.Text(commit, "sub/out.yml")
	assert.EqualError(t, err, "symbolic link that leads to no file of the revision")
	_, err = r.Text(commit, "sub")
	assert.EqualError(t, err, "is a folder")
}

func TestTextOfTheIndex(t *testing.T) {
	r := made(t, map[string]string{"rules.yml": "old\n", "sub/[a]*.yml": "odd", "sub/a.yml": "plain"})
	put(t, "rules.yml", "staged\n")
	git(t, "add", "rules.yml")
	put(t, "rules.yml", "later\n")
	put(t, "new.yml", "untracked\n")
	for path, want := range map[string]string{"rules.yml": "staged\n", "sub/[a]*.yml": "odd"} {
		got, err := r.StagedText(path)
		require.NoError(t, err)
		assert.Equal(t, want, string(got))
	}
	for _, path := range []string{"new.yml", "sub", "sub/*.yml", ":(top)rules.yml"} {
		_, err := r.StagedText(path)
		assert.ErrorIs(t, err, fs.ErrNotExist, path)
	}
	require.NoError(t, os.Symlink("rules.yml", "link.yml"))
	git(t, "add", "link.yml")
	_, err := r.StagedText("link.yml")
	assert.EqualError(t, err, "is a symbolic link in the index")
}

// TestAFolderThatPretends holds that a folder with the look of a bare repository, which
// a pull request can bring, is not taken for one.
func TestAFolderThatPretends(t *testing.T) {
	r := made(t, map[string]string{
		"fake/HEAD": "ref: refs/heads/main\n", "fake/objects/x": "", "fake/refs/x": "", "fake/a.stl": "a",
		"fake/config": "[core]\n\trepositoryformatversion = 0\n\tbare = true\n\tfsmonitor = touch sprung\n",
	})
	top := r.Top
	r = At(filepath.Join(top, "fake"))
	require.NotNil(t, r)
	assert.Equal(t, top, r.Top)
	put(t, "fake/a.stl", "b")
	list, err := r.Changed("main")
	require.NoError(t, err)
	assert.Equal(t, []ChangedPath{{Path: "fake/a.stl"}}, list)
	assert.NoFileExists(t, "fake/sprung")
}

func TestLinkedWorkTrees(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	git(t, "worktree", "add", "-q", "-b", "work", "linked")
	t.Chdir("linked")
	linked := here(t)
	assert.Equal(t, filepath.Join(r.Top, "linked"), linked.Top)
	put(t, "a.stl", "b")
	list, err := linked.Changed("main")
	require.NoError(t, err)
	assert.Equal(t, []ChangedPath{{Path: "a.stl"}}, list)
}

func TestWhatGitSaysIsPassedOn(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, ".git/HEAD", "ref: nonsense")
	_, err := here(t).Commit("main")
	assert.ErrorContains(t, err, "not a git repository: ")
	require.NoError(t, os.Mkdir(".git/objects", 0o777))
	_, err = here(t).Commit("main")
	assert.ErrorContains(t, err, "git: not a git repository")
	t.Setenv("PATH", t.TempDir())
	_, err = here(t).Commit("main")
	assert.ErrorIs(t, err, ErrNoGit)
}

func TestNoRepository(t *testing.T) {
	folder, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	assert.Nil(t, At(folder))
	require.NoError(t, os.Mkdir(filepath.Join(folder, ".git"), 0o777))
	assert.Nil(t, At(folder), "an empty .git is none")
}

func TestReasons(t *testing.T) {
	assert.Equal(t, "bad object x", reason("warning: slow\nfatal: bad object x\n", "log"))
	assert.Equal(t, "diff failed and gave no reason", reason("", "diff"))
	assert.Equal(t, "something odd", reason("something odd\nmore\n", "diff"))
}

// TestWhatGitIsTold holds that no variable which names a program or a file of git's own
// reaches git, and that what keeps it from running any does.
func TestWhatGitIsTold(t *testing.T) {
	for _, name := range []string{"GIT_SSH", "GIT_SSH_COMMAND", "GIT_ASKPASS", "SSH_ASKPASS", "GIT_EXTERNAL_DIFF", "GIT_PAGER", "PAGER", "GIT_EDITOR", "EDITOR", "VISUAL",
		"GIT_PROXY_COMMAND", "GIT_EXEC_PATH", "GIT_TEMPLATE_DIR", "GIT_CONFIG_COUNT", "GIT_CONFIG_PARAMETERS", "GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM", "GIT_TRACE2_EVENT",
		"GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_OBJECT_DIRECTORY", "GIT_COMMON_DIR", "GIT_NAMESPACE", "GIT_DIR", "GIT_WORK_TREE", "GIT_ALLOW_PROTOCOL"} {
		t.Setenv(name, "/of/a/stranger")
	}
	s := &session{top: "/top", dir: "/ours", index: "/index"}
	env := strings.Join(s.environment(false), "\n") + "\n"
	assert.NotContains(t, env, "/of/a/stranger")
	for _, e := range []string{"GIT_DIR=/ours", "GIT_WORK_TREE=/top", "GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_GLOBAL=" + os.DevNull, "GIT_NO_REPLACE_OBJECTS=1",
		"GIT_NO_LAZY_FETCH=1", "GIT_ALLOW_PROTOCOL=", "GIT_TERMINAL_PROMPT=0"} {
		assert.Contains(t, env, e+"\n")
	}
	own := s.environment(true)
	assert.Contains(t, own, "GIT_CONFIG_GLOBAL=/of/a/stranger", "the user's own configuration is read, by git config alone")
	assert.NotContains(t, own, "GIT_SSH_COMMAND=/of/a/stranger")
}

// TestChangedInTheMomentOfStaging holds that the copy of the index is as old as the index:
// a file that was changed in the same moment, to the same size, is known by that alone.
func TestChangedInTheMomentOfStaging(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	then := time.Now().Add(-time.Hour).Truncate(time.Second)
	index := filepath.Join(r.Top, ".git", "index")
	require.NoError(t, os.Chtimes(index, then, then))
	own := filepath.Join(t.TempDir(), "index")
	require.NoError(t, copyAsOld(index, own))
	info, err := os.Stat(own)
	require.NoError(t, err)
	assert.True(t, info.ModTime().Equal(then), "%v, not %v", info.ModTime(), then)
	for range 20 {
		put(t, "a.stl", "a")
		git(t, "add", "a.stl")
		put(t, "a.stl", "b")
		list, err := r.Changed("main")
		require.NoError(t, err)
		require.Equal(t, []ChangedPath{{Path: "a.stl"}}, list)
	}
}
