package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"printlint/internal/collection"
	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// fileTree is where rules are read from: the folders, the index of a repository, or one of
// its revisions. Names start at the working directory, whichever it is.
type fileTree struct {
	read func(name string) ([]byte, error)
	// names lists the files of an index or a revision, from the top on; nil for the folders.
	names func() ([]string, error)
	// own is the repository of an index or a revision; nil for the folders.
	own *repo.Repo
	// rev is the revision as it was named, and its commit; empty for the rest.
	rev, commit string
}

// onDisk is the files as they lie on disk.
func onDisk() fileTree {
	return fileTree{read: readText}
}

// textMost is more than any file of rules or accepted findings may have, in bytes.
const textMost = 32 << 20

// readText reads such a file from disk. A checkout may bring a link in its place: to a
// device, which would never end, or to what is not the repository's to show.
func readText(name string) ([]byte, error) {
	native := filepath.FromSlash(name)
	info, err := os.Stat(native)
	if err != nil {
		return nil, err
	}
	if out, err := leadsOut(native); err != nil {
		return nil, err
	} else if out {
		return nil, errors.New("a symbolic link leads out of the repository; put the file itself there")
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("that is a folder, device or pipe, and no file")
	}
	f, err := os.Open(native)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, textMost))
}

// list lists the names of the files in a folder.
func (t fileTree) list(folder string) (files []string, err error) {
	if t.names == nil {
		entries, err := os.ReadDir(filepath.FromSlash(folder))
		if errors.Is(err, fs.ErrNotExist) {
			return nil, nil
		}
		for _, e := range entries {
			if !e.IsDir() {
				files = append(files, e.Name())
			}
		}
		return files, err
	}
	names, err := t.names()
	if err != nil {
		return nil, err
	}
	within, err := inRepo(t.own, folder)
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if path.Dir(name) == path.Clean(within) {
			files = append(files, path.Base(name))
		}
	}
	return files, nil
}

// leadsOut says whether a file that lies in a repository by its name does so no longer
// once links are followed.
func leadsOut(native string) (bool, error) {
	abs, err := filepath.Abs(native)
	if err != nil {
		return false, err
	}
	own := repo.At(filepath.Dir(abs))
	if own == nil {
		return false, nil
	}
	real, err := filepath.EvalSymlinks(abs)
	if err != nil {
		return false, err
	}
	top, err := filepath.EvalSymlinks(own.Outermost().Top)
	return err == nil && !pathname.Within(top, real), err
}

// atRevision is what a revision holds.
func atRevision(paths []string, rev string) (fileTree, error) {
	own, err := collection.Repository(paths)
	if err != nil {
		return fileTree{}, fmt.Errorf("--rules-from: %w", err)
	}
	commit, err := own.Commit(rev)
	if err != nil {
		return fileTree{}, fmt.Errorf("--rules-from: %w", err)
	}
	return inCommit(own, rev, commit), nil
}

// inCommit is what a commit holds, which somebody named rev.
func inCommit(own *repo.Repo, rev, commit string) fileTree {
	return fileTree{
		own: own, rev: rev, commit: commit,
		read:  below(own, func(path string) ([]byte, error) { return own.Text(commit, path) }),
		names: func() ([]string, error) { return own.Names(commit) },
	}
}

// below reads by names that start at the working directory.
func below(own *repo.Repo, read func(path string) ([]byte, error)) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		path, err := inRepo(own, name)
		if err != nil {
			return nil, err
		}
		return read(path)
	}
}

// inRepo is a name that starts at the working directory as one from the top on.
func inRepo(own *repo.Repo, name string) (string, error) {
	cwd, err := realCwd()
	if err != nil {
		return "", err
	}
	full := filepath.FromSlash(name)
	if !filepath.IsAbs(full) {
		full = filepath.Join(cwd, full)
	}
	path, ok := own.Below(full)
	if !ok {
		return "", errors.New("lies outside the repository")
	}
	return path, nil
}

// physical makes the working directory be known by its path without symbolic links, so
// that what lies above it is what git says lies above it. What is shown starts at the
// working directory and stays the same.
func physical() error {
	cwd, err := realCwd()
	if err != nil {
		return err
	}
	return os.Setenv("PWD", cwd)
}

// realCwd is the working directory without symbolic links.
func realCwd() (string, error) {
	cwd, err := os.Getwd()
	if err != nil {
		return "", err
	}
	return filepath.EvalSymlinks(cwd)
}

// holds reports whether a file is there; name starts at the working directory.
func (t fileTree) holds(name string) (bool, error) {
	if t.own == nil {
		info, err := os.Stat(filepath.FromSlash(name))
		if errors.Is(err, fs.ErrNotExist) {
			return false, nil
		}
		return err == nil && !info.IsDir(), plainly(err)
	}
	_, err := t.read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}
