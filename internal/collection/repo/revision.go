package repo

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// Commit turns a revision, as people write it, into the hash of its commit.
func (r *Repo) Commit(rev string) (string, error) {
	if rev == "" || strings.HasPrefix(rev, "-") || strings.ContainsAny(rev, "\x00\n") {
		return "", fmt.Errorf("%q is no revision; name a branch, a tag or a commit, such as origin/main", rev)
	}
	hash, err := r.line("rev-parse", "--verify", "--quiet", "--end-of-options", rev+"^{commit}")
	var failed *failure
	switch {
	case errors.As(err, &failed) && failed.code == 1:
		return "", fmt.Errorf("there is no revision %q here; fetch it first, as in git fetch origin %s", rev, strings.TrimPrefix(rev, "origin/"))
	case err != nil:
		return "", err
	}
	return hash, nil
}

// Left is the commit at which the work tree left the revision.
func (r *Repo) Left(rev string) (string, error) {
	commit, err := r.Commit(rev)
	if err != nil {
		return "", err
	}
	from, err := r.line("merge-base", commit, "HEAD")
	var failed *failure
	if errors.As(err, &failed) && failed.code == 1 {
		return "", fmt.Errorf("%s and this work tree have no commit in common here; a shallow clone may lack it, fetch the whole history", rev)
	}
	return from, err
}

// Changed lists what differs between the work tree and the point where it left the
// revision, from the top on and with slashes: changed and added files, among them
// those that are neither tracked nor ignored. What is deleted is not listed; what was
// renamed is listed under its new name, since rules and waivers go by path.
func (r *Repo) Changed(rev string) ([]string, error) {
	from, err := r.Left(rev)
	if err != nil {
		return nil, err
	}
	changed, err := r.list(nil, "diff", "--name-only", "-z", "--no-renames", "--no-ext-diff", "--no-textconv",
		"--no-relative", "--ignore-submodules=all", "--diff-filter=d", from, "--")
	if err != nil {
		return nil, err
	}
	added, err := r.list(nil, "ls-files", "-z", "--others", "--exclude-standard")
	return append(changed, added...), err
}

// Ignored returns those of the paths, given from the top on, that git does not track
// and is told to ignore.
func (r *Repo) Ignored(paths []string) (map[string]bool, error) {
	if len(paths) == 0 {
		return nil, nil
	}
	// Behind ./ a name that begins with a colon is no pattern.
	const here = "./"
	out, err := r.list(strings.NewReader(here+strings.Join(paths, "\x00"+here)+"\x00"), "check-ignore", "-z", "--stdin")
	var failed *failure
	if errors.As(err, &failed) && failed.code == 1 {
		err = nil // none is
	}
	ignored := make(map[string]bool, len(out))
	for _, p := range out {
		ignored[strings.TrimPrefix(p, here)] = true
	}
	return ignored, err
}

// Text returns what a file holds in a commit, by its path from the top on; a file that
// is not there is fs.ErrNotExist. Symbolic links are followed within the commit.
func (r *Repo) Text(commit, path string) ([]byte, error) {
	if strings.Contains(path, "\n") {
		return nil, fs.ErrNotExist // git is asked line by line here
	}
	out, err := r.run(strings.NewReader(commit+":"+path+"\n"), "cat-file", "--batch", "--follow-symlinks")
	if err != nil {
		return nil, err
	}
	// "HASH blob SIZE", the text and a line break; or why there is none.
	head, text, _ := bytes.Cut(out, []byte("\n"))
	words := strings.Fields(string(head))
	switch {
	case bytes.HasSuffix(head, []byte(" missing")), bytes.HasPrefix(head, []byte("notdir ")):
		return nil, fs.ErrNotExist
	case len(words) == 3 && words[1] == "blob":
		return bytes.TrimSuffix(text, []byte("\n")), nil
	case len(words) == 3 && words[1] == "tree":
		return nil, errors.New("is a folder")
	}
	return nil, errors.New("symbolic link that leads to no file of the revision")
}
