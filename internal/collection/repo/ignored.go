package repo

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"strings"
)

// Ignored returns those of the paths, given from the top on, that git does not track
// and is told to ignore.
func (r *Repo) Ignored(paths []string) (map[string]bool, error) {
	if len(paths) == 0 {
		return nil, nil
	}
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	if err := s.passable(paths); err != nil {
		return nil, err
	}
	// Behind ./ a name that begins with a colon is no pattern.
	const here = "./"
	out, err := s.list(strings.NewReader(here+strings.Join(paths, "\x00"+here)+"\x00"), "check-ignore", "-z", "--stdin")
	if answered(err, 1) {
		err = nil // none is
	}
	ignored := make(map[string]bool, len(out))
	for _, p := range out {
		ignored[strings.TrimPrefix(p, here)] = true
	}
	return ignored, err
}

// passable refuses pipes and devices in the place of .gitignore, which git would wait for.
func (s *session) passable(paths []string) error {
	seen := map[string]bool{}
	for _, p := range paths {
		for up := path.Dir(p); !seen[up]; up = path.Dir(up) {
			seen[up] = true
			file := path.Join(up, ".gitignore")
			info, err := os.Lstat(s.onDisk(file))
			if err == nil && info.Mode()&(fs.ModeNamedPipe|fs.ModeDevice|fs.ModeSocket) != 0 {
				return fmt.Errorf("%s is a pipe or device; remove it", file)
			}
		}
	}
	return nil
}
