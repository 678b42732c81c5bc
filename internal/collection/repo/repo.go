// Package repo asks git about the repository that a collection lies in: what is
// ignored, what changed, what is staged, and what a file holds in a revision.
//
// It runs the ordinary git command. That is there wherever somebody keeps a
// repository, it reads every kind of one (linked work trees, partial clones, large
// file filters, either hash), and its answers on ignore rules and attributes are by
// definition the ones its users see. A library would save a few milliseconds and
// bring opinions of its own.
//
// Nothing of what is asked is trusted: paths go in and come out ended by NUL, never
// as patterns or options; a revision is turned into its commit's hash first; hooks,
// monitors and differs that a configuration may name are switched off.
package repo

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// ErrNoGit says that the git command is not there.
var ErrNoGit = errors.New("the git command was not found; install git")

// Repo is one repository with a work tree.
type Repo struct {
	// Top is the top folder of the work tree, absolute and with no symbolic link in it.
	Top string

	env []string
}

// At finds the repository that holds a file or folder; nil when there is none. The
// path must be absolute and hold no symbolic link.
func At(path string) *Repo {
	for up := path; ; up = filepath.Dir(up) {
		if Is(up) {
			return &Repo{Top: up, env: environment(up)}
		}
		if up == filepath.Dir(up) {
			return nil
		}
	}
}

// Is reports whether a folder is the top of a repository: its .git is a folder with a
// HEAD, or the file that leads to one, as in linked work trees and submodules.
func Is(folder string) bool {
	dot := filepath.Join(folder, ".git")
	info, err := os.Lstat(dot)
	switch {
	case err != nil:
		return false
	case info.IsDir():
		_, err = os.Lstat(filepath.Join(dot, "HEAD"))
		return err == nil
	}
	return info.Mode().IsRegular()
}

// local are the variables by which git tells its hooks which repository they run for.
var local = []string{
	"GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_COMMON_DIR", "GIT_NAMESPACE",
	"GIT_OBJECT_DIRECTORY", "GIT_ALTERNATE_OBJECT_DIRECTORIES", "GIT_CEILING_DIRECTORIES",
}

// environment is what git runs in. Within a hook the variables of git stay, since the
// index that is about to be committed may be another than the usual one; but only
// where they speak of this repository.
func environment(top string) []string {
	env := slices.DeleteFunc(os.Environ(), func(e string) bool {
		name, _, _ := strings.Cut(e, "=")
		return slices.Contains(local, name)
	})
	env = append(env, "LC_ALL=C", "GIT_OPTIONAL_LOCKS=0", "GIT_TERMINAL_PROMPT=0")
	index := os.Getenv("GIT_INDEX_FILE")
	if index == "" {
		return env
	}
	if !filepath.IsAbs(index) { // hooks start at the top
		index = filepath.Join(top, index)
	}
	r := &Repo{Top: top, env: env}
	if own, err := r.line("rev-parse", "--absolute-git-dir"); err == nil && within(own, index) {
		env = append(env, "GIT_INDEX_FILE="+index)
	}
	return env
}

// within reports whether a path lies in a folder, symbolic links followed.
func within(folder, path string) bool {
	real, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		return false
	}
	rel, err := filepath.Rel(folder, real)
	return err == nil && filepath.IsLocal(rel)
}

// always stands before every command. A folder that pretends to be a bare repository,
// which a pull request can bring, is no repository here.
var always = []string{
	"--no-pager", "-c", "safe.bareRepository=explicit", "-c", "core.fsmonitor=false", "-c", "core.hooksPath=/dev/null",
}

// failure is a git command that did not work.
type failure struct {
	code int
	text string // the last thing that git said
}

// Error is what git said.
func (f *failure) Error() string { return "git: " + f.text }

// run runs a git command at the top and returns what it wrote.
func (r *Repo) run(in io.Reader, args ...string) ([]byte, error) {
	cmd := exec.Command("git", append(slices.Clone(always), args...)...)
	cmd.Dir, cmd.Env, cmd.Stdin = r.Top, r.env, in
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	err := cmd.Run()
	var exit *exec.ExitError
	switch {
	case errors.Is(err, exec.ErrNotFound):
		return nil, ErrNoGit
	case errors.As(err, &exit):
		return out.Bytes(), &failure{exit.ExitCode(), reason(said.String(), args[0])}
	case err != nil:
		return nil, fmt.Errorf("git could not be run: %w", err)
	}
	return out.Bytes(), nil
}

// line runs a command that answers with one line.
func (r *Repo) line(args ...string) (string, error) {
	out, err := r.run(nil, args...)
	return strings.TrimSuffix(string(out), "\n"), err
}

// list runs a command that answers with a list ended by NULs.
func (r *Repo) list(in io.Reader, args ...string) ([]string, error) {
	out, err := r.run(in, args...)
	return split(out), err
}

// split cuts a list ended by NULs.
func split(out []byte) []string {
	if len(out) == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
}

// reason is the first line of what git said that tells why.
func reason(said, command string) string {
	lines := strings.Split(strings.TrimSpace(said), "\n")
	for _, l := range lines {
		for _, mark := range []string{"fatal: ", "error: "} {
			if rest, ok := strings.CutPrefix(l, mark); ok {
				return rest + cure(rest)
			}
		}
	}
	if lines[0] == "" {
		return command + " failed and gave no reason"
	}
	return lines[0]
}

// cure says what to do where git refuses a repository that somebody else owns, as is
// usual in a container.
func cure(text string) string {
	folder, ok := strings.CutPrefix(text, "detected dubious ownership in repository at ")
	if !ok {
		return ""
	}
	return "; trust it with git config --global --add safe.directory " + folder
}

// Below returns the path from the top on, with slashes; false when it lies elsewhere.
// The path must be absolute and hold no symbolic link above its last element.
func (r *Repo) Below(path string) (string, bool) {
	rel, err := filepath.Rel(r.Top, path)
	if err != nil || !filepath.IsLocal(rel) {
		return "", false
	}
	return filepath.ToSlash(rel), true
}
