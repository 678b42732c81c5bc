package repo

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"printlint/internal/pathname"
)

// dotGit is where a work tree keeps its repository, or the file that leads to it.
const dotGit = ".git"

// folders are where git keeps a repository: own is what belongs to this work tree,
// common what all its work trees share. They are one folder mostly.
type folders struct{ own, common string }

// locate finds the folders from the top of a work tree.
func locate(top string) (f folders, err error) {
	f.own = filepath.Join(top, dotGit)
	info, err := os.Stat(f.own)
	if err != nil {
		return f, err
	}
	if !info.IsDir() {
		text, err := note(f.own)
		if err != nil {
			return f, err
		}
		path, ok := strings.CutPrefix(text, "gitdir: ")
		if !ok {
			return f, fmt.Errorf("%s leads to no repository: the word gitdir is not at its beginning", f.own)
		}
		f.own = from(top, path)
	}
	f.common = f.own
	text, err := note(filepath.Join(f.own, "commondir"))
	switch {
	case err == nil:
		f.common = from(f.own, text)
	case !errors.Is(err, fs.ErrNotExist):
		return f, err
	}
	for _, need := range []string{filepath.Join(f.own, "HEAD"), filepath.Join(f.common, "objects")} {
		if _, err := os.Stat(need); err != nil {
			if _, err := os.Lstat(need); err != nil { // HEAD may be a link to a branch yet to be born
				return f, fmt.Errorf("not a git repository: %s is not there", need)
			}
		}
	}
	return f, nil
}

// from is where a path leads that was written down in a folder.
func from(folder, path string) string {
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(folder, filepath.FromSlash(path))
}

// noteSize bounds the small files in which git keeps a path or a revision.
const noteSize = 64 << 10

// note reads such a file, without the line break at its end. It opens no pipe, which
// would wait for ever.
func note(path string) (string, error) {
	if info, err := os.Stat(path); err != nil {
		return "", err
	} else if !info.Mode().IsRegular() || info.Size() > noteSize {
		return "", fmt.Errorf("%s is no file that git would have written", path)
	}
	text, err := os.ReadFile(path)
	return strings.TrimRight(string(text), "\r\n"), err
}

// index is the file that lists what is staged; empty when there is none. Within a hook
// it may be another than the usual one, but only one of this repository.
func (f folders) index(top string) string {
	path := filepath.Join(f.own, "index")
	if named := os.Getenv("GIT_INDEX_FILE"); named != "" {
		named = from(top, named) // hooks start at the top
		if realWithin(f.own, named) {
			path = named
		}
	}
	if !regular(path) {
		return ""
	}
	return path
}

func regular(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// realWithin reports whether a file lies in a folder once symbolic links are followed in
// both, but for the last element of the file, which need not be there.
func realWithin(folder, file string) bool {
	folder, err := filepath.EvalSymlinks(folder)
	if err != nil {
		return false
	}
	real, err := filepath.EvalSymlinks(filepath.Dir(file))
	return err == nil && pathname.Within(folder, real)
}
