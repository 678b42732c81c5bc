package repo

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"slices"
	"strings"
	"syscall"
	"time"
)

// ErrNoGit says that the git command is not there.
var ErrNoGit = errors.New("the git command was not found; install git")

// failure is a git command that did not work.
type failure struct {
	code int
	text string // the last thing that git said
}

// Error is what git said.
func (f *failure) Error() string { return "git: " + f.text }

// answered reports whether git ran and ended with the code.
func answered(err error, code int) bool {
	var f *failure
	return errors.As(err, &f) && f.code == code
}

// user are the variables that say where the user's own configuration lies.
var user = []string{"GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM", "GIT_CONFIG_NOSYSTEM"}

// programs are variables by which git and what it runs find programs to start.
var programs = []string{"SSH_ASKPASS", "PAGER", "EDITOR", "VISUAL", "LESSOPEN", "LESSCLOSE"}

// environment is what git runs in: nothing that speaks of git, but what we say. Only
// where the user's own settings are asked for, it may read the user's configuration.
func (s *session) environment(own bool) []string {
	env := slices.DeleteFunc(os.Environ(), func(e string) bool {
		name, _, _ := strings.Cut(e, "=")
		return strings.HasPrefix(name, "GIT_") && !(own && slices.Contains(user, name)) || slices.Contains(programs, name)
	})
	if !own {
		env = append(env, "GIT_CONFIG_GLOBAL="+os.DevNull, "GIT_CONFIG_SYSTEM="+os.DevNull, "GIT_CONFIG_NOSYSTEM=1")
	}
	return append(env, "GIT_DIR="+s.dir, "GIT_WORK_TREE="+s.top, "GIT_INDEX_FILE="+s.index,
		"GIT_ATTR_NOSYSTEM=1", "GIT_NO_REPLACE_OBJECTS=1", "GIT_GRAFT_FILE="+os.DevNull,
		"GIT_NO_LAZY_FETCH=1", "GIT_ALLOW_PROTOCOL=", "GIT_TERMINAL_PROMPT=0", "GIT_ASKPASS=", "GIT_OPTIONAL_LOCKS=0", "LC_ALL=C")
}

// run runs a git command at the top and returns what it wrote.
func (s *session) run(in io.Reader, args ...string) ([]byte, error) {
	return s.runAs(false, in, args...)
}

// runAs ends git when it takes too long, and when the program is told to end.
func (s *session) runAs(own bool, in io.Reader, args ...string) ([]byte, error) {
	told, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	ctx, cancel := context.WithTimeout(told, s.patience)
	defer cancel()
	cmd := exec.CommandContext(ctx, "git", append([]string{"--no-pager"}, args...)...)
	cmd.Dir, cmd.Env, cmd.Stdin = s.top, s.environment(own), in
	cmd.WaitDelay = time.Second
	out, errText := boundedBuffer{most: s.most}, boundedBuffer{most: 1 << 20}
	cmd.Stdout, cmd.Stderr = &out, &errText
	err := cmd.Run()
	var exit *exec.ExitError
	switch {
	case told.Err() != nil:
		return nil, context.Canceled
	case ctx.Err() != nil:
		return nil, fmt.Errorf("git %s gave no answer within %v; is there a pipe or an endless pattern among the files named .gitignore and .gitattributes?", args[0], s.patience)
	case out.full:
		return nil, fmt.Errorf("larger than %d MiB, which no rules are", s.most>>20)
	case errors.Is(err, exec.ErrNotFound):
		return nil, ErrNoGit
	case errors.As(err, &exit):
		return out.text.Bytes(), &failure{exit.ExitCode(), reason(errText.text.String(), args[0])}
	case err != nil:
		return nil, fmt.Errorf("git could not be run: %w", err)
	}
	return out.text.Bytes(), nil
}

// boundedBuffer keeps what git writes. What is packed into a few bytes may come out as many, so
// more than most ends it; 0 is no bound.
type boundedBuffer struct {
	text bytes.Buffer
	most int
	full bool
}

// Write takes what fits.
func (b *boundedBuffer) Write(p []byte) (int, error) {
	if b.most > 0 && b.text.Len()+len(p) > b.most {
		b.full = true
		return 0, io.ErrShortWrite
	}
	return b.text.Write(p)
}

// line runs a command that answers with one line.
func (s *session) line(args ...string) (string, error) {
	out, err := s.run(nil, args...)
	return strings.TrimSuffix(string(out), "\n"), err
}

// list runs a command that answers with a list ended by NULs.
func (s *session) list(in io.Reader, args ...string) ([]string, error) {
	out, err := s.run(in, args...)
	return split(out), err
}

// split cuts a list ended by NULs.
func split(out []byte) []string {
	if len(out) == 0 {
		return nil
	}
	return strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
}

// lines and ended write a list as git reads it.
func lines(list []string) io.Reader { return strings.NewReader(strings.Join(list, "\n") + "\n") }
func ended(list []string) io.Reader { return strings.NewReader(strings.Join(list, "\x00") + "\x00") }

// quoted writes a text so that git reads it back as it was, wherever it reads line by line.
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(text) + `"`
}

// reason is the first line of what git said that tells why.
func reason(errText, command string) string {
	lines := strings.Split(strings.TrimSpace(errText), "\n")
	for _, l := range lines {
		for _, mark := range []string{"fatal: ", "error: "} {
			if rest, ok := strings.CutPrefix(l, mark); ok {
				return rest
			}
		}
	}
	if lines[0] == "" {
		return command + " failed and gave no reason"
	}
	return lines[0]
}
