package repo

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// The tree that holds nothing, by the hash of either object format. It stands for the
// point before the first commit.
const (
	emptySHA1   = "4b825dc642cb6eb9a060e54bf8d69288fbee4904"
	emptySHA256 = "6ef19b41225c5369f1c104d45d8d85efa9b057b53b14b4b9b939dd74decc5321"
)

// BeforeAll says that what Commit or Left returned is the point before the first commit:
// compared with it everything is new.
func BeforeAll(hash string) bool { return hash == emptySHA1 || hash == emptySHA256 }

func (s *session) empty() string {
	if s.settings.sha256 {
		return emptySHA256
	}
	return emptySHA1
}

// Commit turns a revision, as people write it, into the hash of its commit. A revision
// of zeros, which services name for what came before a new branch, HEAD before the first
// commit, and the parent of the first commit are the point before all.
func (r *Repo) Commit(rev string) (string, error) {
	s, err := r.open(short)
	if err != nil {
		return "", err
	}
	defer s.close()
	return s.commit(rev)
}

func (s *session) commit(rev string) (string, error) {
	if rev == "" || strings.HasPrefix(rev, "-") || strings.ContainsAny(rev, "\x00\n") {
		return "", fmt.Errorf("%q is no revision; name a branch, a tag or a commit, such as origin/main", rev)
	}
	if len(rev) >= 40 && strings.Trim(rev, "0") == "" {
		return s.empty(), nil
	}
	hash, err := s.parse(rev)
	if !answered(err, 1) {
		return hash, err
	}
	if before, err := s.beforeAll(rev); before || err != nil {
		return s.empty(), err
	}
	return "", fmt.Errorf("there is no revision %q here; fetch it first, as in git fetch origin %s", rev, strings.TrimPrefix(rev, "origin/"))
}

func (s *session) parse(rev string) (string, error) {
	return s.line("rev-parse", "--verify", "--quiet", "--end-of-options", rev+"^{commit}")
}

// beforeAll says that a revision that is not there comes before the first commit. What
// a shallow clone lacks does not.
func (s *session) beforeAll(rev string) (bool, error) {
	if rev == "HEAD" || rev == "@" {
		branch, err := s.line("symbolic-ref", "--quiet", "HEAD")
		return err == nil && branch != "", nil
	}
	for _, parent := range []string{"^1", "~1", "^", "~"} {
		child, ok := strings.CutSuffix(rev, parent)
		if !ok {
			continue
		}
		hash, err := s.parse(child)
		if err != nil {
			return false, nil
		}
		text, err := s.run(nil, "cat-file", "commit", hash)
		return err == nil && !bytes.Contains(text, []byte("\nparent ")), err
	}
	return false, nil
}

// Left is the commit at which the work tree left the revision.
func (r *Repo) Left(rev string) (string, error) {
	s, err := r.open(short)
	if err != nil {
		return "", err
	}
	defer s.close()
	return s.left(rev)
}

func (s *session) left(rev string) (string, error) {
	commit, err := s.commit(rev)
	if err != nil || BeforeAll(commit) {
		return commit, err
	}
	from, err := s.line("merge-base", commit, "HEAD")
	if answered(err, 1) {
		return "", fmt.Errorf("%s and this work tree have no commit in common here; a shallow clone may lack it, fetch the whole history", rev)
	}
	return from, err
}

// Text returns what a file holds in a commit, by its path from the top on; a file that
// is not there is fs.ErrNotExist. Symbolic links are followed within the commit.
func (r *Repo) Text(commit, path string) ([]byte, error) {
	if strings.Contains(path, "\n") {
		return nil, fs.ErrNotExist // git is asked line by line here
	}
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	s.most = rulesSize
	out, err := s.run(lines([]string{commit + ":" + path}), "cat-file", "--batch", "--follow-symlinks")
	if err != nil {
		return nil, err
	}
	// "HASH blob SIZE", the text and a line break; or why there is none.
	head, text, _ := bytes.Cut(out, []byte("\n"))
	words := strings.Fields(string(head))
	switch {
	case bytes.HasSuffix(head, []byte(" missing")), bytes.HasPrefix(head, []byte("notdir ")):
		return nil, s.whether(commit, path)
	case len(words) == 3 && words[1] == "blob":
		return bytes.TrimSuffix(text, []byte("\n")), nil
	case len(words) == 3 && words[1] == "tree":
		return nil, errors.New("is a folder")
	}
	return nil, errors.New("symbolic link that leads to no file of the revision")
}

// whether tells what is not in a commit from what is, but was never fetched: rules that
// cannot be read must not count as rules that are not there.
func (s *session) whether(commit, path string) error {
	list, err := s.list(nil, "ls-tree", "-z", "--full-tree", commit, "--", path)
	switch {
	case answered(err, 128) && BeforeAll(commit):
		return fs.ErrNotExist
	case err != nil:
		return err
	case len(list) > 0 && strings.HasSuffix(list[0], "\t"+path):
		return fmt.Errorf("its content was not fetched into this repository; run git show %.12s:%s once, or clone without a filter", commit, path)
	}
	return fs.ErrNotExist
}

// Entry is a file of a commit, by its path from the top on; what is not there, or is no
// plain file, is an error.
func (r *Repo) Entry(commit, path string) (e IndexEntry, err error) {
	s, err := r.open(short)
	if err != nil {
		return e, err
	}
	defer s.close()
	list, err := s.list(nil, "ls-tree", "-z", "--full-tree", commit, "--", path)
	if err != nil && !(answered(err, 128) && BeforeAll(commit)) {
		return e, err
	}
	for _, line := range list {
		// "MODE TYPE HASH", a tab and the path.
		about, name, _ := strings.Cut(line, "\t")
		words := strings.Fields(about)
		if name != path || len(words) != 3 {
			continue
		}
		if words[1] != "blob" || words[0] == "120000" {
			return e, errors.New("is a folder or a link there, not a file")
		}
		found := []IndexEntry{{Path: path, Hash: words[2]}}
		_, err = s.measure(found)
		return found[0], err
	}
	return e, fs.ErrNotExist
}
