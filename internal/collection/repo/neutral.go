package repo

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"printlint/internal/work"
)

// session is one question to git: a repository folder of our own that leads to the
// objects and revisions of the real one, and has none of its configuration, hooks and
// programs. Close removes it.
type session struct {
	folders
	top      string
	home     string // what close removes
	dir      string // the repository folder that git is given
	index    string // the list of what is staged, the real one unless it was copied
	patience time.Duration
	close    func() // removes what was made for the session
	most     int    // how many bytes git may answer; 0 is no bound
	settings *settings
}

// How long one command of git may take. Reading what changed may mean to read all files.
const (
	short = 30 * time.Second
	long  = 10 * time.Minute
)

// rulesSize bounds a file of rules.
const rulesSize = 16 << 20

// open starts a session.
func (r *Repo) open(patience time.Duration) (*session, error) {
	f, err := locate(r.Top)
	if err != nil {
		return nil, err
	}
	s := &session{folders: f, top: r.Top, patience: patience}
	if s.home, err = os.MkdirTemp("", "printlint-git-"); err != nil {
		return nil, fmt.Errorf("no folder could be made for the time of a question to git: %w; let TMPDIR name one that can be written to", err)
	}
	s.close = work.AtExit(func() { os.RemoveAll(s.home) })
	if err = s.furnish(); err == nil {
		err = r.settle(s)
	}
	if err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

// shared and private are what a repository keeps for all its work trees and for each.
var (
	shared  = []string{"packed-refs", "shallow", "info/exclude", "info/attributes"}
	perTree = []string{"refs", "logs", "reftable"}
)

// furnish makes the folder: everything but its configuration.
func (s *session) furnish() error {
	common := filepath.Join(s.home, "repository")
	s.dir = common
	for _, folder := range []string{"objects/info", "info"} {
		if err := os.MkdirAll(filepath.Join(common, folder), 0o700); err != nil {
			return err
		}
	}
	if err := s.lend(common); err != nil {
		return err
	}
	for _, name := range shared {
		if from := filepath.Join(s.common, name); regular(from) {
			if err := os.Symlink(from, filepath.Join(common, name)); err != nil {
				return err
			}
		}
	}
	if err := furnishTree(s.common, common); err != nil {
		return err
	}
	if s.own != s.common {
		s.dir = filepath.Join(common, "worktrees", "one")
		if err := os.MkdirAll(s.dir, 0o700); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(s.dir, "commondir"), []byte("../..\n"), 0o600); err != nil {
			return err
		}
		if err := furnishTree(s.own, s.dir); err != nil {
			return err
		}
	}
	s.index = s.folders.index(s.top)
	if s.index == "" {
		s.index = filepath.Join(s.dir, "index")
	}
	return nil
}

// lend lets git read the objects, and write none beside them.
func (s *session) lend(common string) error {
	objects, err := filepath.Abs(filepath.Join(s.common, "objects"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(common, "objects", "info", "alternates"), []byte(quoted(objects)+"\n"), 0o600)
}

// furnishTree carries over which commit a work tree stands at, and where the revisions
// are.
func furnishTree(from, to string) error {
	for _, name := range perTree {
		path := filepath.Join(from, name)
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			if err := os.Symlink(path, filepath.Join(to, name)); err != nil {
				return err
			}
		}
	}
	list, err := os.ReadDir(from) // in order of names
	if err != nil {
		return err
	}
	for _, configLine := range list {
		name := configLine.Name()
		switch {
		case strings.HasPrefix(name, "sharedindex.") && configLine.Type().IsRegular():
			err = os.Symlink(filepath.Join(from, name), filepath.Join(to, name))
		case head.MatchString(name):
			if text, bad := headOf(filepath.Join(from, name)); bad == nil { // what is too long is no revision
				err = os.WriteFile(filepath.Join(to, name), []byte(text+"\n"), 0o600)
			}
		}
		if err != nil {
			return err
		}
	}
	if _, err := os.Lstat(filepath.Join(to, "refs")); err != nil {
		return os.Mkdir(filepath.Join(to, "refs"), 0o700)
	}
	return nil
}

// head are the files that name a commit, such as HEAD and FETCH_HEAD.
var head = regexp.MustCompile(`^([A-Z]+_)*HEAD$`)

// headOf reads a file that names a commit or a branch; long ago that was a symbolic link.
func headOf(path string) (string, error) {
	if to, err := os.Readlink(path); err == nil && strings.HasPrefix(to, "refs/") {
		return "ref: " + to, nil
	}
	return note(path)
}
