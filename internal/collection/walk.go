package collection

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"printlint/internal/collection/repo"
)

// walker goes through one folder that was named.
type walker struct {
	*finder
	root, real string // as it was named; absolute, with no symbolic link in it
	own        *repo.Repo
}

// walk takes every model below a folder.
func (f *finder) walk(root string) error {
	real, err := resolve(root)
	if err != nil {
		return fmt.Errorf("%s: %w", root, reason(err))
	}
	if info, err := os.Lstat(root); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		root += string(filepath.Separator) // what is named is what the link leads to
	}
	w := walker{f, root, real, repo.At(real)}
	start := len(f.files)
	err = filepath.WalkDir(root, w.visit)
	if w.own != nil {
		f.dropIgnored(w.own, real, start)
	}
	return err
}

// visit takes one entry of the walk.
func (w *walker) visit(native string, entry fs.DirEntry, err error) error {
	var size int64
	if err == nil && entry.Type().IsRegular() {
		info, statErr := entry.Info()
		if err = statErr; err == nil {
			size = info.Size()
		}
	}
	rel, relErr := filepath.Rel(w.root, native)
	if relErr != nil {
		return relErr
	}
	file, pathErr := w.file(native, filepath.Join(w.real, rel), size)
	switch {
	case pathErr != nil:
		return pathErr
	case w.excluded(file.Rules):
		if entry != nil && entry.IsDir() {
			return filepath.SkipDir
		}
	case err != nil:
		w.files = append(w.files, file.failing(reason(err)))
	case entry.IsDir():
		return w.folder(native, entry, file)
	case w.included(file.Rules):
		w.files = append(w.files, w.take(entry, file))
	case entry.Type()&fs.ModeSymlink != 0:
		if file, ok := w.folderLink(file); ok {
			w.files = append(w.files, file)
		}
	case entry.Type().IsRegular() && looksUnread(native) != "":
		file.unread = true
		w.files = append(w.files, file)
	}
	return nil
}

// folder says which folders are walked into.
func (w *walker) folder(native string, entry fs.DirEntry, file File) error {
	if entry.Name() == ".git" {
		return filepath.SkipDir
	}
	if w.own != nil && native != w.root && repo.Is(native) {
		file.Skip = "a repository of its own; name it to check it"
		w.files = append(w.files, file)
		return filepath.SkipDir
	}
	return nil
}

// The cures of symbolic links.
var (
	errLinkNowhere = errors.New("symbolic link that leads nowhere")
	errLinkOut     = errors.New("symbolic link that leads out of the folder; name its target, or exclude it")
	errLinkFolder  = errors.New("symbolic link to a folder, whose models are not judged under this name; name its target, or exclude it")
)

// take is a matching entry of the walk, with what it leads to if it is a link.
func (w *walker) take(entry fs.DirEntry, file File) File {
	if entry.Type().IsRegular() {
		return file
	}
	if entry.Type()&fs.ModeSymlink == 0 {
		file.Skip = "a device, pipe or socket, no model"
		return file
	}
	target, err := resolve(file.native)
	if err != nil {
		return file.failing(errLinkNowhere)
	}
	info, err := os.Stat(target)
	switch {
	case err != nil:
		return file.failing(reason(err))
	case !w.holds(target):
		return file.failing(errLinkOut)
	case info.IsDir():
		return file.failing(errLinkFolder)
	case !info.Mode().IsRegular():
		return file.failing(errNotRegular)
	}
	file.Size, file.through = info.Size(), trail(file.real)
	at := relative(w.realBase, target)
	note := "a symbolic link to " + at
	if w.excluded(at) {
		note += ", which is excluded under that name"
	}
	file.Notes = append(file.Notes, note)
	return file
}

// holds says that a path lies in the folder that was named, or in its repository.
func (w *walker) holds(target string) bool {
	if w.own != nil {
		if _, ok := w.own.Below(target); ok {
			return true
		}
	}
	rel, err := filepath.Rel(w.real, target)
	return err == nil && filepath.IsLocal(rel)
}

// folderLink is the entry of a link to a folder in which there may be models: they would
// be judged under its name if it were a folder, and nobody judges them there.
func (w *walker) folderLink(file File) (File, bool) {
	target, err := resolve(file.native)
	if err != nil || filepath.Base(file.native) == ".git" {
		return file, false
	}
	if info, err := os.Stat(target); err != nil || !info.IsDir() {
		return file, false
	}
	if !w.holds(target) {
		return file.failing(errLinkOut), true
	}
	return file.failing(errLinkFolder), w.anyModel(target, file.Rules)
}

// maxLook is how many entries of a folder are looked at before it counts as one that has
// models.
const maxLook = 10_000

// anyModel says that a folder holds what would be a model below the path as.
func (w *walker) anyModel(folder, as string) bool {
	found, looked := false, 0
	err := filepath.WalkDir(folder, func(native string, entry fs.DirEntry, err error) error {
		rel, relErr := filepath.Rel(folder, native)
		if looked++; err != nil || relErr != nil || looked > maxLook {
			return filepath.SkipAll
		}
		rules := relative(folder, native)
		if rel != "." {
			rules = as + "/" + rules
		}
		switch {
		case rel == ".":
		case w.excluded(rules) || entry.IsDir() && entry.Name() == ".git":
			if entry.IsDir() {
				return filepath.SkipDir
			}
		case !entry.IsDir() && w.included(rules):
			found = true
			return filepath.SkipAll
		}
		return nil
	})
	return found || err != nil || looked > maxLook
}
