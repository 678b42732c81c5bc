package collection

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection/repo"
)

// Options narrow what Find returns.
type Options struct {
	// Base is the folder that Include and Exclude are written against: the one that
	// holds the configuration. Empty is the working directory.
	Base string
	// Include and Exclude are doublestar globs with slashes.
	Include, Exclude []string
	// Since, when not nil, keeps what differs from a revision, and adds what the walk
	// did not see of that. Keeping none of those found is no error.
	Since *Change
	// Warn, when not nil, is told what could not be respected.
	Warn func(text string)
}

// Find lists the files of the named files and folders, sorted by path, each once.
//
// A folder is walked without its .git and without following symbolic links. In a
// repository, what git does not track and is told to ignore is left out, and other
// repositories inside it, submodules among them, are left alone and told of. A file
// that is named outright is taken whatever Include and git say, but Exclude holds for
// it too: hooks name files, and an exclusion must not depend on who asks. A zip pack is
// listed as the models in it. A path that does not exist is an error, and so is finding
// nothing (ErrNone).
func Find(paths []string, opt Options) ([]File, error) {
	f := finder{globs: globs{opt.Include, opt.Exclude}, warn: opt.Warn}
	if err := f.locate(opt.Base); err != nil {
		return nil, err
	}
	for _, p := range paths {
		if err := f.add(p); err != nil {
			return nil, err
		}
	}
	if opt.Since != nil {
		if err := f.since(opt.Since, paths); err != nil {
			return nil, err
		}
	}
	f.tell()
	f.sort()
	if len(f.files) == 0 {
		return nil, ErrNone
	}
	if opt.Since != nil {
		f.files = slices.DeleteFunc(f.files, func(file File) bool { return !opt.Since.has(file.real) })
	}
	return Unpack(f.files, opt.Exclude), nil
}

// skipExcluded is why a file that was named is left out.
const skipExcluded = "excluded by models.exclude in the configuration"

// finder collects files.
type finder struct {
	globs
	cwd, base string // absolute
	files     []File
	seen      map[string]bool // for since: where the files really lie
	ignored   []string        // models that git ignores, as they are shown
	unasked   error           // why git could not say which
	warn      func(string)
}

// locate says where paths start.
func (f *finder) locate(base string) (err error) {
	if f.cwd, err = os.Getwd(); err == nil {
		f.base, err = filepath.Abs(base)
	}
	return err
}

// sort puts files in order and keeps each once.
func (f *finder) sort() {
	slices.SortFunc(f.files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	f.files = slices.CompactFunc(f.files, func(a, b File) bool { return a.Path == b.Path })
}

// add takes one argument: a file or a folder.
func (f *finder) add(arg string) error {
	info, err := os.Stat(arg)
	if outer, inner, ok := enters(arg); ok && err != nil {
		return f.addInside(outer, inner)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", arg, reason(err))
	}
	if info.IsDir() {
		return f.walk(arg)
	}
	file, err := f.file(arg, info.Size())
	if err != nil {
		return err
	}
	if folder, err := resolve(filepath.Dir(arg)); err == nil {
		file.real = filepath.Join(folder, filepath.Base(arg))
	}
	if !info.Mode().IsRegular() {
		file = file.failing(errNotRegular)
	}
	if f.excluded(file.Rules) {
		file.Skip = skipExcluded
	}
	f.files = append(f.files, file)
	return nil
}

// walk takes every model below a folder.
func (f *finder) walk(root string) error {
	real, err := resolve(root)
	if err != nil {
		return fmt.Errorf("%s: %w", root, reason(err))
	}
	own := repo.At(real)
	start := len(f.files)
	err = filepath.WalkDir(root, func(native string, entry fs.DirEntry, err error) error {
		var size int64
		if err == nil && entry.Type().IsRegular() {
			info, statErr := entry.Info()
			if err = statErr; err == nil {
				size = info.Size()
			}
		}
		file, pathErr := f.file(native, size)
		switch {
		case pathErr != nil:
			return pathErr
		case f.excluded(file.Rules):
			if entry != nil && entry.IsDir() {
				return filepath.SkipDir
			}
		case err != nil:
			f.files = append(f.files, file.failing(reason(err)))
		case entry.IsDir():
			if entry.Name() == ".git" {
				return filepath.SkipDir
			}
			if own != nil && native != root && repo.Is(native) {
				file.Skip = "a repository of its own; name it to check it"
				f.files = append(f.files, file)
				return filepath.SkipDir
			}
		case f.included(file.Rules):
			f.take(root, native, entry, file)
		}
		return nil
	})
	for i := start; i < len(f.files); i++ {
		if rel, err := filepath.Rel(root, f.files[i].native); err == nil {
			f.files[i].real = filepath.Join(real, rel)
		}
	}
	if own != nil {
		f.dropIgnored(own, real, start)
	}
	return err
}

// take adds a matching entry of a walk.
func (f *finder) take(root, native string, entry fs.DirEntry, file File) {
	switch {
	case entry.Type().IsRegular():
	case entry.Type()&fs.ModeSymlink == 0:
		file.Skip = "a device, pipe or socket, no model"
	default:
		target, err := resolve(native)
		switch {
		case err != nil:
			file = file.failing(errors.New("symbolic link that leads nowhere"))
		case !below(root, target):
			file.Skip = "symbolic link that leads out of the folder; name its target to check it"
		case f.included(relative(f.base, target)):
			return // checked where it really lies
		}
	}
	f.files = append(f.files, file)
}

// below reports whether target, resolved, lies in the folder root.
func below(root, target string) bool {
	real, err := resolve(root)
	if err != nil {
		return false
	}
	rel, err := filepath.Rel(real, target)
	return err == nil && filepath.IsLocal(rel)
}

// resolve returns the absolute path with no symbolic link left in it.
func resolve(native string) (string, error) {
	abs, err := filepath.Abs(native)
	if err != nil {
		return "", err
	}
	return filepath.EvalSymlinks(abs)
}

// file names a file both ways.
func (f *finder) file(native string, size int64) (File, error) {
	abs, err := filepath.Abs(native)
	if err != nil {
		return File{}, err
	}
	shown, err := filepath.Rel(f.cwd, abs)
	if err != nil {
		shown = abs // on another volume
	}
	file := onDisk(native, filepath.ToSlash(shown), relative(f.base, abs), size)
	file.native = native
	return file, nil
}

// relative writes the path below the folder, or the whole path when it lies elsewhere.
func relative(folder, abs string) string {
	if rel, err := filepath.Rel(folder, abs); err == nil && filepath.IsLocal(rel) {
		return filepath.ToSlash(rel)
	}
	return filepath.ToSlash(abs)
}

// Relative is the path that rules are written against: from the configuration's
// folder on, with slashes.
func Relative(base, path string) string {
	folder, err := filepath.Abs(base)
	if err != nil {
		return filepath.ToSlash(path)
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	return relative(folder, abs)
}

// reason drops the operation and path that the caller names anyway.
func reason(err error) error {
	if p, ok := err.(*fs.PathError); ok {
		return p.Err
	}
	return err
}
