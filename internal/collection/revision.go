package collection

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// Revision splits a name like main:parts/hook.stl into a revision and the path of a file in
// it. What lies in the file system under the whole name is that, and so is a drive letter.
func Revision(name string) (rev, file string, ok bool) {
	rev, file, ok = strings.Cut(name, ":")
	if !ok || len(rev) < 2 || file == "" || strings.Contains(rev, Inside) {
		return "", "", false
	}
	if _, err := os.Lstat(name); err == nil {
		return "", "", false
	}
	return rev, file, true
}

// AtRevision lists the models of a file as it is in a revision, or of what is named in a
// pack there. The path counts from the working directory, or else from the top of the
// repository.
func AtRevision(own *repo.Repo, rev, name string, opt Options) ([]File, error) {
	f := finder{globs: globs{opt.Include, opt.Exclude}}
	if err := f.locate(opt.Base); err != nil {
		return nil, err
	}
	commit, err := own.Commit(rev)
	if err != nil {
		return nil, err
	}
	outer, inner, entered := strings.Cut(filepath.ToSlash(name), Inside)
	e, err := entryAt(own, commit, outer)
	if err != nil {
		return nil, err
	}
	real := filepath.Join(own.Top, filepath.FromSlash(e.Path))
	whole := New(pathname.Shown(rev+":"+outer), f.ruled(real), e.Size, staged(own.Blob, e))
	files := Unpack([]File{whole}, nil)
	if entered {
		wanted := whole.Path + Inside + strings.TrimSuffix(inner, "/")
		files = slices.DeleteFunc(files, func(file File) bool {
			rest, ok := strings.CutPrefix(file.Path, wanted)
			return !(ok && (rest == "" || rest[0] == '/' || strings.HasPrefix(rest, Inside)))
		})
		if len(files) == 0 {
			return nil, fmt.Errorf("%s holds no model %s in %s", outer, inner, rev)
		}
	}
	return files, nil
}

// entryAt finds a file of a commit.
func entryAt(own *repo.Repo, commit, name string) (e repo.IndexEntry, err error) {
	var tries []string
	if abs, err := filepath.Abs(filepath.FromSlash(name)); err == nil {
		if real, err := filepath.EvalSymlinks(filepath.Dir(abs)); err == nil {
			abs = filepath.Join(real, filepath.Base(abs))
		}
		if below, ok := own.Below(abs); ok {
			tries = append(tries, below)
		}
	}
	for _, at := range append(tries, path.Clean(name)) {
		e, err = own.Entry(commit, at)
		if !errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	if errors.Is(err, fs.ErrNotExist) {
		return e, fmt.Errorf("there is no %s in it, neither from this folder on nor from the top of the repository", name)
	}
	if err != nil {
		return e, fmt.Errorf("%s %w", name, err)
	}
	return e, nil
}
