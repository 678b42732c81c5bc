package repo

import (
	"bytes"
	"errors"
	"io/fs"
)

// Keeps reports whether the repository keeps a copy of what a file of the work tree holds
// now, as it was last staged or committed, so that the file can be brought back. The path
// goes from the top on.
func (r *Repo) Keeps(path string, content []byte) (bool, error) {
	s, err := r.open(short)
	if err != nil {
		return false, err
	}
	defer s.close()
	e, err := s.configLine(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) || err == nil && e.Kind != Plain:
		return false, nil
	case err != nil:
		return false, err
	}
	text, err := s.run(nil, "cat-file", "--filters", "--path="+path, e.Hash)
	if err != nil {
		return false, err
	}
	if p, ok := pointerOf(text); ok {
		file := s.content(p, path)
		return file != "" && file != s.onDisk(path) && p.matches(s.onDisk(path)), nil
	}
	return bytes.Equal(text, content), nil
}
