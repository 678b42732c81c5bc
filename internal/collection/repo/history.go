package repo

import (
	"os"
	"path/filepath"
	"strings"
)

// Indexed lists the files of the index, which the next commit will hold.
func (r *Repo) Indexed() ([]string, error) {
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	return s.list(nil, "ls-files", "-z", "--cached")
}

// LastChanged numbers the commits up to one that changed each path last, the newest with the
// lowest number. Left out are paths that no commit holds, and, where no commit is named but
// HEAD is meant, those that are others in the work tree now. A shallow clone ends at a commit
// that changes all there is.
func (r *Repo) LastChanged(commit string, paths []string) (map[string]int, error) {
	var changed []ChangedPath
	var err error
	if commit == "" {
		commit = "HEAD"
		if changed, err = r.Changed(commit); err != nil {
			return nil, err
		}
	}
	open := make(map[string]bool, len(paths))
	for _, p := range paths {
		open[p] = true
	}
	for _, c := range changed {
		delete(open, c.Path)
	}
	if len(open) == 0 {
		return nil, nil
	}
	s, err := r.open(long)
	if err != nil {
		return nil, err
	}
	defer s.close()
	head, err := s.commit(commit)
	if err != nil || BeforeAll(head) {
		return nil, err
	}
	return s.lastChanged(head, open)
}

// Shallow says that the history ends at commits that are not the first: what was changed
// before them is not known.
func (r *Repo) Shallow() bool {
	own, err := locate(r.Top)
	if err != nil {
		return false
	}
	info, err := os.Stat(filepath.Join(own.common, "shallow"))
	return err == nil && info.Size() > 0
}

// Listed lists the files of a commit, each with the hash of its content.
func (r *Repo) Listed(commit string) ([]IndexEntry, error) {
	s, err := r.open(long)
	if err != nil {
		return nil, err
	}
	defer s.close()
	lines, err := s.list(nil, "ls-tree", "-r", "-z", "--full-tree", "--end-of-options", commit)
	var list []IndexEntry
	for _, line := range lines { // "MODE TYPE HASH", a tab, the path
		about, name, _ := strings.Cut(line, "\t")
		if words := strings.Fields(about); len(words) == 3 {
			d := difference{newMode: words[0]}
			list = append(list, IndexEntry{Path: name, Hash: words[2], Kind: d.kind()})
		}
	}
	return list, err
}
