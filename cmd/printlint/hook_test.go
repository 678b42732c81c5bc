package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// hooksFile is where the framework looks for hooks, at the top of the project.
const hooksFile = ".pre-commit-hooks.yaml"

// hook reads the one hook of the project.
func hook(t *testing.T) map[string]any {
	t.Helper()
	text, err := os.ReadFile("../../" + hooksFile)
	require.NoError(t, err)
	var hooks []map[string]any
	require.NoError(t, yaml.Unmarshal(text, &hooks))
	require.Len(t, hooks, 1)
	return hooks[0]
}

// TestHookMatchesModels holds the pattern of the hook to the models that are checked
// without a configuration.
func TestHookMatchesModels(t *testing.T) {
	pattern := regexp.MustCompile(hook(t)["files"].(string))
	for _, name := range []string{"a.stl", "A.STL", "b/c.3mf", "x.Obj", "x.ply", "x.off", "x.amf", "pack.ZIP", "line\nbreak.stl"} {
		assert.True(t, pattern.MatchString(name), name)
	}
	for _, name := range []string{"stl", "a.stl.md", "a.step", "a.stlx", "b.stl/readme"} {
		assert.False(t, pattern.MatchString(name), name)
	}
	assert.Equal(t, []any{"--skip-excluded", "--"}, hook(t)["args"])
}

// shelf is a scratch repository in which the framework runs the hook, from a copy of this
// project that is a repository of its own.
type shelf struct {
	*testing.T
	dir string
	env []string
}

// run runs a program in the shelf and returns what it said and whether it worked.
func (s *shelf) run(dir, program string, args ...string) (string, bool) {
	cmd := exec.Command(program, args...)
	cmd.Dir, cmd.Env = dir, s.env
	out, err := cmd.CombinedOutput()
	return string(out), err == nil
}

// must runs a program that has to work.
func (s *shelf) must(dir, program string, args ...string) {
	s.Helper()
	out, ok := s.run(dir, program, args...)
	require.True(s, ok, "%s %q: %s", program, args, out)
}

// newShelf prepares both repositories and installs the hook. Of the environment the
// hook gets what finds Go and its modules, and nothing of git.
func newShelf(t *testing.T) *shelf {
	t.Helper()
	s := &shelf{T: t, dir: filepath.Join(t.TempDir(), "shelf")}
	home := t.TempDir()
	s.env = append(os.Environ(), "HOME="+home, "XDG_CACHE_HOME="+filepath.Join(home, "cache"), "PRE_COMMIT_HOME="+filepath.Join(home, "hooks"),
		"GIT_CONFIG_NOSYSTEM=1", "GIT_AUTHOR_NAME=member", "GIT_AUTHOR_EMAIL=member@example.org",
		"GIT_COMMITTER_NAME=member", "GIT_COMMITTER_EMAIL=member@example.org", "NO_COLOR=1")
	for _, name := range []string{"GOMODCACHE", "GOCACHE", "GOPROXY", "GOSUMDB", "GONOSUMDB", "GOPRIVATE"} {
		value, err := exec.Command("go", "env", name).Output()
		require.NoError(t, err)
		s.env = append(s.env, name+"="+strings.TrimSpace(string(value)))
	}
	program := filepath.Join(t.TempDir(), "printlint")
	copyProject(t, program)
	s.must(program, "git", "init", "-q", "-b", "main")
	s.must(program, "git", "add", "-A")
	s.must(program, "git", "commit", "-q", "-m", "the program")
	version, ok := s.run(program, "git", "rev-parse", "HEAD")
	require.True(t, ok)
	require.NoError(t, os.Mkdir(s.dir, 0o777))
	s.must(s.dir, "git", "init", "-q", "-b", "main")
	s.put(".pre-commit-config.yaml", "repos:\n  - repo: "+program+"\n    rev: "+version+"    hooks:\n      - id: printlint\n")
	s.put(".printlint.yml", "version: 1\nmodels: {exclude: [archive]}\n")
	s.must(s.dir, "git", "add", "-A")
	s.must(s.dir, "pre-commit", "install")
	return s
}

// copyProject copies what the hook is built from.
func copyProject(t *testing.T, to string) {
	t.Helper()
	for _, name := range []string{"go.mod", "go.sum", hooksFile} {
		text, err := os.ReadFile("../../" + name)
		require.NoError(t, err)
		require.NoError(t, os.MkdirAll(to, 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(to, name), text, 0o666))
	}
	for _, folder := range []string{"cmd", "internal", "rules"} {
		require.NoError(t, os.CopyFS(filepath.Join(to, folder), os.DirFS("../../"+folder)))
	}
}

func (s *shelf) put(name, text string) {
	s.Helper()
	path := filepath.Join(s.dir, name)
	require.NoError(s, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(s, os.WriteFile(path, []byte(text), 0o666))
}

func (s *shelf) model(name string, body *mesh.Triangles) {
	s.Helper()
	var b bytes.Buffer
	require.NoError(s, shapes.WriteBinarySTL(&b, body, "test"))
	s.put(name, b.String())
}

// TestCommitHook plays the hook through with the real framework: installed, a bad model
// blocked, a good one let pass, names that a stranger may choose, and every file at once.
func TestCommitHook(t *testing.T) {
	if _, err := exec.LookPath("pre-commit"); err != nil {
		require.Empty(t, os.Getenv("PRINTLINT_NEED_PRECOMMIT"), "pre-commit is asked for and not there")
		t.Skip("pre-commit is not installed; the commit hook is tested with it: apt-get install pre-commit")
	}
	s := newShelf(t)
	s.model("parts/good.stl", shapes.Cube(20))
	s.must(s.dir, "git", "add", "-A")
	out, ok := s.run(s.dir, "git", "commit", "-m", "a good model")
	require.True(t, ok, out)
	assert.Contains(t, out, "Passed")

	s.model("parts/BAD.STL", shapes.T())
	s.must(s.dir, "git", "add", "-A")
	out, ok = s.run(s.dir, "git", "commit", "-m", "a bad model")
	assert.False(t, ok, out)
	assert.Regexp(t, `(?m)^parts/BAD\.STL:\d+: error: overhang at `, out)
	assert.Contains(t, out, "parts/BAD.STL: advice: ")
	assert.Contains(t, out, "exit code: 1")

	// Mended in the folder only is not mended; the framework puts unstaged changes aside.
	s.model("parts/BAD.STL", shapes.Cube(20))
	out, ok = s.run(s.dir, "git", "commit", "-m", "not staged")
	assert.False(t, ok, out)
	s.must(s.dir, "git", "add", "-A")
	out, ok = s.run(s.dir, "git", "commit", "-m", "mended")
	assert.True(t, ok, out)

	// Excluded models, and commits without models, are no matter.
	s.model("archive/old.stl", shapes.T())
	s.put("readme.md", "models")
	s.must(s.dir, "git", "add", "-A")
	out, ok = s.run(s.dir, "git", "commit", "-m", "archive")
	assert.True(t, ok, out)

	// Hostile names are files like others: neither flags nor another configuration.
	s.model("-q.stl", shapes.Cube(20))
	s.model("two\nlines é.stl", shapes.Cube(20))
	s.put("--config=x.stl", "rules: {max-overhang-angle: {level: none}, rough-underside: {level: none}}\n")
	s.model("hanging.stl", shapes.T())
	s.must(s.dir, "git", "add", "-A")
	out, ok = s.run(s.dir, "git", "commit", "-m", "names")
	assert.False(t, ok, out)
	assert.Regexp(t, `(?m)^hanging\.stl:\d+: error: overhang at `, out)
	assert.Contains(t, out, "--config=x.stl:")
	assert.Contains(t, out, "exit code: 2", "which is no model")
	s.must(s.dir, "git", "rm", "-q", "-f", "--", "--config=x.stl", "hanging.stl")
	out, ok = s.run(s.dir, "pre-commit", "run", "--all-files")
	assert.True(t, ok, out)
}
