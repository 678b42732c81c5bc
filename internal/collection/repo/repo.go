// Package repo asks git about the repository that a collection lies in: what is
// ignored, what changed, what is staged, and what a file holds in a revision.
//
// It runs the ordinary git command, which reads every kind of repository, but never on
// the repository's own terms. A folder of strangers may bring a repository whose
// configuration names programs, and git runs many of them without being asked: to fetch
// a missing object, to filter a file, to watch the folder. So git is given a repository
// folder of our own, made for one question and removed after it. It leads to the objects
// and revisions of the real one, and its configuration is ours; of the real one's only a
// few plain words are carried over. Filters are never run: large files are found by
// their digest, and what another filter would have made is said to be unknown.
//
// Nothing of what is asked is trusted: paths go in and come out ended by NUL, never
// as patterns or options, and a revision is turned into its commit's hash first.
package repo

import (
	"os"
	"path/filepath"
	"sync"
)

// Repo is one repository with a work tree.
type Repo struct {
	// Top is the top folder of the work tree, absolute and with no symbolic link in it.
	Top string

	settled  sync.Mutex
	settings *settings // nil until they were read
}

// At finds the repository that holds a file or folder; nil when there is none. The
// path must be absolute and hold no symbolic link.
func At(path string) *Repo {
	for up := path; ; up = filepath.Dir(up) {
		if Is(up) {
			return &Repo{Top: up}
		}
		if up == filepath.Dir(up) {
			return nil
		}
	}
}

// Is reports whether a folder is the top of a repository: its .git is a folder with a
// HEAD, or the file that leads to one, as in linked work trees and submodules.
func Is(folder string) bool {
	dot := filepath.Join(folder, dotGit)
	info, err := os.Stat(dot)
	switch {
	case err != nil:
		return false
	case info.IsDir():
		_, err = os.Lstat(filepath.Join(dot, "HEAD"))
		return err == nil
	}
	return info.Mode().IsRegular()
}

// Outermost is the repository that holds this one as a submodule, however deep, or this
// one. A submodule is a part of the repository that checks it out: git keeps it there.
func (r *Repo) Outermost() *Repo {
	for {
		up := At(filepath.Dir(r.Top))
		if up == nil || up.Top == r.Top {
			return r
		}
		inner, err := locate(r.Top)
		if err != nil {
			return r
		}
		outer, err := locate(up.Top)
		if err != nil {
			return r
		}
		modules, err := filepath.EvalSymlinks(filepath.Join(outer.common, "modules"))
		if err != nil || !realWithin(modules, filepath.Join(inner.own, "HEAD")) {
			return r
		}
		r = up
	}
}

// Below returns the path from the top on, with slashes; false when it lies elsewhere.
// The path must be absolute and hold no symbolic link above its last element.
func (r *Repo) Below(path string) (string, bool) {
	rel, err := filepath.Rel(r.Top, path)
	if err != nil || !filepath.IsLocal(rel) {
		return "", false
	}
	return filepath.ToSlash(rel), true
}
