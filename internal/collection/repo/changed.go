package repo

import (
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// ChangeKind is what a changed path is now.
type ChangeKind int

// The kinds of changed paths.
const (
	Plain  ChangeKind = iota // a file
	Link                     // a symbolic link
	Module                   // a submodule: its commit is another, or it is new
	Nested                   // a repository that this one does not track
)

// ChangedPath is one path that differs, from the top on and with slashes.
type ChangedPath struct {
	Path string
	Kind ChangeKind
}

// Changed lists what differs between the work tree and the point where it left the
// revision: changed and added paths, among them those that are neither tracked nor
// ignored, and the files that .gitattributes now make other files than before. What is
// deleted is not listed; what was renamed is listed under its new name, since rules and
// waivers go by path. What is listed need not be there: a sparse checkout leaves out
// files that git tracks.
func (r *Repo) Changed(rev string) ([]ChangedPath, error) {
	s, err := r.open(long)
	if err != nil {
		return nil, err
	}
	defer s.close()
	from, differing, err := s.differing(rev)
	if err != nil {
		return nil, err
	}
	same, err := s.seeming(differing)
	if err != nil {
		return nil, err
	}
	var list []ChangedPath
	attributes := false
	for _, d := range differing {
		attributes = attributes || path.Base(d.path) == ".gitattributes"
		if d.status != "D" && !same[d.path] {
			list = append(list, ChangedPath{d.path, d.kind()})
		}
	}
	others, err := s.list(nil, "ls-files", "-z", "--others", "--exclude-standard")
	if err != nil {
		return nil, err
	}
	for _, name := range others {
		attributes = attributes || path.Base(name) == ".gitattributes"
		list = append(list, s.untracked(name))
	}
	if attributes {
		touched, err := s.touched(from)
		if err != nil {
			return nil, err
		}
		list = append(list, touched...)
	}
	slices.SortFunc(list, func(a, b ChangedPath) int { return strings.Compare(a.Path, b.Path) })
	return slices.CompactFunc(list, func(a, b ChangedPath) bool { return a.Path == b.Path }), nil
}

// differing compares the work tree with the point where it left the revision. Some files
// may only seem to differ.
func (s *session) differing(rev string) (from string, list []difference, err error) {
	if from, err = s.left(rev); err != nil {
		return "", nil, err
	}
	if err := s.refresh(); err != nil {
		return "", nil, err
	}
	out, err := s.list(nil, "diff-index", "--raw", "-z", "--no-abbrev", "--no-renames", "--no-ext-diff", "--ignore-submodules=dirty", from, "--")
	if err != nil {
		return "", nil, err
	}
	list, err = differences(out)
	return from, list, err
}

// untracked is a path that git does not know; it writes repositories with a slash.
func (s *session) untracked(name string) ChangedPath {
	if inner, ok := strings.CutSuffix(name, "/"); ok {
		return ChangedPath{inner, Nested}
	}
	if info, err := os.Lstat(s.onDisk(name)); err == nil && info.Mode()&os.ModeSymlink != 0 {
		return ChangedPath{name, Link}
	}
	return ChangedPath{name, Plain}
}

// onDisk is where a path lies.
func (s *session) onDisk(name string) string {
	return filepath.Join(s.top, filepath.FromSlash(name))
}

// refresh copies the list of what is staged and looks at every file whose time or size
// is another than was noted, so that only true differences are left; also at those that
// somebody told git to take as unchanged.
func (s *session) refresh() error {
	own := filepath.Join(s.home, "index")
	err := copyAsOld(s.index, own)
	if os.IsNotExist(err) {
		return nil
	} else if err != nil {
		return err
	}
	s.index = own
	_, err = s.run(nil, "update-index", "-q", "--unmerged", "--really-refresh")
	if answered(err, 1) { // some differ
		err = nil
	}
	return err
}

// copyAsOld copies a list of what is staged, and gives the copy the time of the original.
// A file that was changed in the same moment in which the list was written has the time
// and size that are noted in it; git looks into such a file because it is as young as the
// list, and would not if the list were younger.
func copyAsOld(from, to string) error {
	real, err := os.Open(from)
	if err != nil {
		return err
	}
	defer real.Close()
	info, err := real.Stat()
	if err != nil {
		return err
	}
	own, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	if _, err = io.Copy(own, real); err != nil {
		own.Close()
		return err
	}
	if err := own.Close(); err != nil {
		return err
	}
	return os.Chtimes(to, info.ModTime(), info.ModTime())
}

// difference is one line of a comparison: a path, what it was and what it is.
type difference struct {
	oldMode, newMode, oldHash, newHash, status, path string
}

func (d *difference) kind() ChangeKind {
	switch d.newMode {
	case "120000":
		return Link
	case "160000":
		return Module
	}
	return Plain
}

// differences reads a comparison: ":MODE MODE HASH HASH STATUS", then the path.
func differences(fields []string) ([]difference, error) {
	var list []difference
	for i := 0; i+1 < len(fields); i += 2 {
		w := strings.Fields(fields[i])
		if len(w) != 5 {
			return nil, fmt.Errorf("git: did not understand %q", fields[i])
		}
		list = append(list, difference{strings.TrimPrefix(w[0], ":"), w[1], w[2], w[3], w[4], fields[i+1]})
	}
	return list, nil
}

// seeming finds the files that only seem changed: the work tree keeps them with other line
// ends, or in place of the digest that stands for a large file.
func (s *session) seeming(list []difference) (map[string]bool, error) {
	var doubtful []difference
	var ask []string
	for _, d := range list {
		unknown := strings.Trim(d.newHash, "0") == "" // git saw another time or size
		if d.status == "M" && d.oldMode == d.newMode && d.kind() == Plain && unknown {
			doubtful, ask = append(doubtful, d), append(ask, d.oldHash)
		}
	}
	large, err := s.pointers(ask)
	if err != nil {
		return nil, err
	}
	same := map[string]bool{}
	var rest []difference
	var names []string
	for _, d := range doubtful {
		if p, ok := large[d.oldHash]; ok {
			same[d.path] = p.matches(s.onDisk(d.path))
		} else {
			rest, names = append(rest, d), append(names, quoted(d.path))
		}
	}
	if len(rest) == 0 {
		return same, nil
	}
	out, err := s.run(lines(names), "hash-object", "--stdin-paths")
	hashes := strings.Fields(string(out))
	if answered(err, 128) || len(hashes) != len(rest) {
		return same, nil // where one cannot be read, all count as changed
	}
	for i, d := range rest {
		same[d.path] = hashes[i] == d.oldHash
	}
	return same, err
}
