package repo

import (
	"io"
	"path/filepath"
	"slices"
)

// changing are the attributes that make a file of the work tree another than the one
// that the repository keeps.
var changing = []string{"text", "eol", "crlf", "working-tree-encoding", "filter", "ident"}

// touched lists the tracked files that the attributes now treat otherwise than those of
// a commit did.
func (s *session) touched(from string) ([]ChangedPath, error) {
	tracked, err := s.list(nil, "ls-files", "-z")
	if err != nil || len(tracked) == 0 {
		return nil, err
	}
	gone, err := s.list(nil, "ls-files", "-z", "--deleted")
	if err != nil {
		return nil, err
	}
	now, err := s.attributes(ended(tracked), false)
	if err != nil {
		return nil, err
	}
	then := *s
	then.index = filepath.Join(s.home, "then")
	if _, err := then.run(nil, "read-tree", from); err != nil {
		return nil, err
	}
	was, err := then.attributes(ended(tracked), true)
	if err != nil {
		return nil, err
	}
	var list []ChangedPath
	for i, name := range tracked {
		if !slices.Equal(now[i], was[i]) && !slices.Contains(gone, name) {
			list = append(list, s.untracked(name))
		}
	}
	return list, nil
}

// attributes reads what .gitattributes say of paths, in their order: as they lie in the
// work tree, or as they are listed.
func (s *session) attributes(paths io.Reader, listed bool) ([][]string, error) {
	args := []string{"check-attr", "-z", "--stdin"}
	if listed {
		args = append(args, "--cached")
	}
	fields, err := s.list(paths, append(args, changing...)...)
	var values [][]string // each is path, attribute, value
	for i := 0; i+3*len(changing) <= len(fields); i += 3 * len(changing) {
		one := make([]string, len(changing))
		for k := range one {
			one[k] = fields[i+3*k+2]
		}
		values = append(values, one)
	}
	return values, err
}
