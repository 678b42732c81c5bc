package main

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/shapes"
)

// stranger is a folder that somebody downloaded, with a repository of its own in it.
// Whatever of it runs leaves a mark.
type stranger struct {
	*testing.T
	dir   string // the folder
	marks string // where marks are left, by name
}

// git runs a git command in the folder, the same for every user.
func (s *stranger) git(args ...string) string {
	s.Helper()
	cmd := exec.Command("git", append([]string{"-C", s.dir, "-c", "user.name=tester", "-c", "user.email=tester@example.org"}, args...)...)
	cmd.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull)
	out, err := cmd.CombinedOutput()
	require.NoError(s, err, "git %q: %s", args, out)
	return strings.TrimSpace(string(out))
}

func (s *stranger) put(name, text string, mode os.FileMode) string {
	s.Helper()
	path := filepath.Join(s.dir, name)
	require.NoError(s, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(s, os.WriteFile(path, []byte(text), mode))
	return path
}

// trap is a program that leaves a mark.
func (s *stranger) trap(name string) string {
	return s.put("traps/"+name, "#!/bin/sh\n: >'"+filepath.Join(s.marks, name)+"'\n", 0o755)
}

// newStranger makes the folder: one model committed, one changed since, one staged and
// one untracked.
func newStranger(t *testing.T) *stranger {
	t.Helper()
	s := &stranger{t, filepath.Join(t.TempDir(), "pack"), t.TempDir()}
	cube := string(stlOf(t, shapes.Cube(20)))
	s.put("a.stl", cube, 0o666)
	s.put(".gitignore", "*.tmp\n", 0o666)
	s.put(".gitattributes", "*.stl filter=trap diff=trap merge=trap\nlong.stl filter=long\n", 0o666)
	s.git("init", "-q", "-b", "main")
	s.git("add", "-A")
	s.git("commit", "-q", "-m", "first")
	s.put("a.stl", string(stlOf(t, shapes.Cube(21))), 0o666)
	s.put("long.stl", cube, 0o666)
	s.put("staged.stl", cube, 0o666)
	s.git("add", "staged.stl", "long.stl")
	s.put("long.stl", string(stlOf(t, shapes.Cube(22))), 0o666)
	s.put("new.stl", cube, 0o666)
	return s
}

// promised makes the repository lack its .gitignore and all that was staged, which its
// remote is said to have.
func (s *stranger) promised(url string) {
	s.git("update-index", "--skip-worktree", ".gitignore")
	require.NoError(s, os.Remove(filepath.Join(s.dir, ".gitignore")))
	blob := s.git("rev-parse", "HEAD:.gitignore")
	require.NoError(s, os.Remove(filepath.Join(s.dir, ".git/objects", blob[:2], blob[2:])))
	for key, value := range map[string]string{
		"core.repositoryFormatVersion": "1", "extensions.partialClone": "origin", "remote.origin.promisor": "true",
		"remote.origin.url": url, "protocol.allow": "always", "protocol.ext.allow": "always",
	} {
		s.git("config", key, value)
	}
}

// strangers are the ways in which a repository may name programs.
var strangers = map[string]func(*stranger){
	"fetch by a command": func(s *stranger) { s.promised("ext::" + s.trap("ext")) },
	"fetch over ssh":     func(s *stranger) { s.promised("ssh://host/x"); s.git("config", "core.sshCommand", s.trap("ssh")) },
	"fetch over a proxy": func(s *stranger) { s.promised("git://host/x"); s.git("config", "core.gitProxy", s.trap("proxy")) },
	"fetch from a folder": func(s *stranger) {
		s.promised(s.dir)
		s.git("config", "remote.origin.uploadpack", s.trap("uploadpack"))
	},
	"fetch by a helper": func(s *stranger) {
		s.promised("trap::x")
		s.git("config", "remote.origin.vcs", "ext")
		s.git("config", "remote.origin.url", s.trap("vcs"))
	},
	"fetch with a password": func(s *stranger) {
		server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("WWW-Authenticate", `Basic realm="x"`)
			w.WriteHeader(http.StatusUnauthorized)
		}))
		s.Cleanup(server.Close)
		s.promised(server.URL)
		s.git("config", "credential.helper", "!"+s.trap("credential"))
		s.git("config", "core.askPass", s.trap("askpass"))
	},
	"a file that leads into the pack": func(s *stranger) {
		s.promised("ext::" + s.trap("ext"))
		require.NoError(s, os.Rename(filepath.Join(s.dir, ".git"), filepath.Join(s.dir, "library")))
		s.put(".git", "gitdir: library\n", 0o666)
	},
	"programs for files": func(s *stranger) { s.filters(s.dir) },
	"a work tree of its own": func(s *stranger) {
		s.git("config", "extensions.worktreeConfig", "true")
		s.git("config", "--worktree", "filter.trap.clean", s.trap("clean"))
		s.git("config", "--worktree", "filter.trap.smudge", s.trap("smudge"))
		s.git("config", "core.worktree", s.marks)
	},
	"an included file": func(s *stranger) {
		s.put("more", "[filter \"trap\"]\n\tclean = "+s.trap("clean")+"\n\tsmudge = "+s.trap("smudge")+"\n", 0o666)
		s.git("config", "include.path", "../more")
		s.git("config", "includeIf.onbranch:main.path", "../more")
	},
	"programs for everything": func(s *stranger) {
		for _, key := range []string{"core.fsmonitor", "core.pager", "pager.diff", "core.editor", "sequence.editor", "diff.external", "core.askPass",
			"diff.trap.textconv", "diff.trap.command", "merge.trap.driver", "gpg.program", "core.alternateRefsCommand", "uploadpack.packObjectsHook",
			"credential.helper", "interactive.diffFilter", "trace2.eventTarget"} {
			s.git("config", key, s.trap(key))
		}
		for _, command := range []string{"check-ignore", "diff-index", "cat-file", "config", "ls-files", "rev-parse", "merge-base"} {
			s.git("config", "alias."+command, "!"+s.trap("alias-"+command))
		}
		for _, hook := range []string{"post-index-change", "fsmonitor-watchman", "post-checkout", "reference-transaction", "pre-auto-gc"} {
			s.trap(hook)
			require.NoError(s, os.Rename(filepath.Join(s.dir, "traps", hook), filepath.Join(s.dir, ".git/hooks", hook)))
		}
		s.git("config", "core.hooksPath", filepath.Join(s.dir, ".git/hooks"))
	},
	"a submodule": func(s *stranger) {
		inner := filepath.Join(s.dir, "inner")
		s.git("init", "-q", inner)
		s.put("inner/i.stl", string(stlOf(s.T, shapes.Cube(20))), 0o666)
		s.put("inner/.gitattributes", "*.stl filter=trap\n", 0o666)
		s.git("-C", inner, "add", "-A")
		s.git("-C", inner, "commit", "-q", "-m", "inner")
		s.git("add", "inner")
		s.filters(inner)
		s.git("-C", inner, "config", "core.fsmonitor", s.trap("inner-monitor"))
		s.put("inner/i.stl", string(stlOf(s.T, shapes.Cube(23))), 0o666)
	},
}

// filters names programs that files pass through.
func (s *stranger) filters(repository string) {
	for _, key := range []string{"trap.clean", "trap.smudge", "long.process", "lfs.clean", "lfs.smudge", "lfs.process"} {
		s.git("-C", repository, "config", "filter."+key, s.trap(key))
	}
}

// TestNothingOfAStrangerIsRun plants every program that a repository can name and holds
// that none is run, whatever the command; that of git only commands are used which read;
// and that git starts nothing itself.
func TestNothingOfAStrangerIsRun(t *testing.T) {
	for name, plant := range strangers {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newStranger(t)
			plant(s)
			w := watch(t)
			for _, args := range [][]string{{"check", "."}, {"check", "--changed", "HEAD"}, {"check", "--changed", "HEAD", "--rules-from", "HEAD"},
				{"check", "--staged"}, {"advise", "a.stl"}, {"measure", "a.stl"}} {
				out := w.run(s.dir, args...)
				assert.NotContains(t, out, "stopped", "%q", args)
				marks, err := filepath.Glob(filepath.Join(s.marks, "*"))
				require.NoError(t, err)
				assert.Empty(t, marks, "%q ran programs:\n%s", args, out)
			}
			w.holds(t)
		})
	}
}

// TestTheTrapsSpring guards the test above: git itself, asked in the ordinary way, does
// run what the folder names.
func TestTheTrapsSpring(t *testing.T) {
	for name, ask := range map[string][]string{
		"fetch by a command": {"check-ignore", "new.stl"}, "fetch over ssh": {"check-ignore", "new.stl"}, "fetch over a proxy": {"check-ignore", "new.stl"},
		"fetch from a folder": {"check-ignore", "new.stl"}, "fetch by a helper": {"check-ignore", "new.stl"}, "fetch with a password": {"check-ignore", "new.stl"},
		"a file that leads into the pack": {"check-ignore", "new.stl"}, "programs for files": {"diff", "--name-only", "HEAD"},
		"an included file": {"diff", "--name-only", "HEAD"}, "programs for everything": {"status"}, "a submodule": {"status"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := newStranger(t)
			strangers[name](s)
			ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
			defer cancel()
			cmd := exec.CommandContext(ctx, "git", ask...)
			cmd.Dir, cmd.WaitDelay = s.dir, time.Second
			_ = cmd.Run()
			marks, err := filepath.Glob(filepath.Join(s.marks, "*"))
			require.NoError(t, err)
			assert.NotEmpty(t, marks)
		})
	}
}

// watched runs the program and notes each start of git, and whatever git starts.
type watched struct {
	dir, program string
}

// watch puts a program called git before the real one: it writes down how it was called,
// has git write down what it starts, and is git from then on.
func watch(t *testing.T) *watched {
	t.Helper()
	real, err := exec.LookPath("git")
	require.NoError(t, err)
	program, err := exec.LookPath("printlint")
	require.NoError(t, err)
	w := &watched{t.TempDir(), program}
	require.NoError(t, os.Mkdir(filepath.Join(w.dir, "bin"), 0o777))
	text := fmt.Sprintf("#!/bin/sh\nprintf '%%s\\n' \"$*\" >>'%s/calls'\nexport GIT_TRACE2_EVENT='%s/events'\nexec '%s' \"$@\"\n", w.dir, w.dir, real)
	require.NoError(t, os.WriteFile(filepath.Join(w.dir, "bin", "git"), []byte(text), 0o755))
	return w
}

func (w *watched) run(dir string, args ...string) string {
	cmd := exec.Command(w.program, args...)
	cmd.Dir = dir
	// A user's shell may name programs too; they are for git when somebody sits before it.
	cmd.Env = append(os.Environ(), "PATH="+filepath.Join(w.dir, "bin")+":"+os.Getenv("PATH"), "XDG_CACHE_HOME="+w.dir,
		"GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull)
	out, _ := cmd.CombinedOutput()
	return string(out)
}

// holds that git was asked, only by commands that read, and that it started nothing.
func (w *watched) holds(t *testing.T) {
	t.Helper()
	calls, err := os.ReadFile(filepath.Join(w.dir, "calls"))
	require.NoError(t, err, "git was never asked")
	allowed := []string{"config", "check-ignore", "rev-parse", "symbolic-ref", "merge-base", "diff-index", "diff-files", "ls-files", "ls-tree", "read-tree",
		"update-index", "hash-object", "check-attr", "cat-file"}
	word := regexp.MustCompile(`^--no-pager ([a-z-]+)`)
	for _, call := range strings.Split(strings.TrimSpace(string(calls)), "\n") {
		if m := word.FindStringSubmatch(call); m == nil || !slices.Contains(allowed, m[1]) {
			assert.Fail(t, "git "+call)
		}
	}
	events, err := os.ReadFile(filepath.Join(w.dir, "events"))
	require.NoError(t, err)
	assert.Contains(t, string(events), `"event":"start"`)
	for _, line := range strings.Split(string(events), "\n") {
		assert.NotRegexp(t, `"event":"(child_start|exec|alias)"`, line)
	}
}
