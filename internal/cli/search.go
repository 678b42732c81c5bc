package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// misnamed are the names that people write in place of configName. One of them is refused
// wherever configName would be looked for, since it would hold for nothing in silence.
var misnamed = regexp.MustCompile(`(?i)^\.?printlint\.ya?ml(\.txt)?\s*$`)

// search finds the configuration of a file: the outermost configName at or above it that
// does not lie above the top of its repository or, outside of one, anywhere up to the
// root of the file system. It depends on nothing but where the file lies.
type search struct {
	fileTree fileTree
	tree     map[string][]string // names by folder, of an index or a revision
	looked   map[string]folderConfig
}

// folderConfig is what a folder holds of the kind.
type folderConfig struct {
	config bool
	wrong  string // a name that is only alike
}

func newSearch(w fileTree) (*search, error) {
	s := &search{fileTree: w, looked: map[string]folderConfig{}}
	if w.names == nil {
		return s, nil
	}
	names, err := w.names()
	if err != nil {
		return nil, err
	}
	s.tree = map[string][]string{}
	for _, name := range names {
		folder, base := filepath.Split(filepath.Join(w.own.Top, filepath.FromSlash(name)))
		if misnamed.MatchString(base) {
			folder = filepath.Clean(folder)
			s.tree[folder] = append(s.tree[folder], base)
		}
	}
	return s, nil
}

// in looks into one folder.
func (s *search) in(folder string) (folderConfig, error) {
	if h, ok := s.looked[folder]; ok {
		return h, nil
	}
	names := s.tree[folder]
	if s.tree == nil {
		var err error
		if names, err = namesOnDisk(folder); err != nil {
			return folderConfig{}, fmt.Errorf("%s: %w", folder, plainly(err))
		}
	}
	var h folderConfig
	for _, name := range names {
		if name == configName {
			h.config = true
		} else if s.fileTree.rev == "" && misnamed.MatchString(name) {
			h.wrong = name // a revision is past mending, and its name is refused where the models are
		}
	}
	s.looked[folder] = h
	return h, nil
}

// namesOnDisk lists the files of a folder; those of one that may be entered but not read
// are asked for by name.
func namesOnDisk(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case errors.Is(err, fs.ErrPermission):
		if _, err := os.Lstat(filepath.Join(folder, configName)); err == nil {
			return []string{configName}, nil
		}
		return nil, nil
	case err != nil:
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if misnamed.MatchString(e.Name()) && (!e.IsDir() || e.Name() == configName) {
			names = append(names, e.Name())
		}
	}
	return names, nil
}

// chain lists the folders in which a configuration for what lies in a folder is looked
// for, the outermost first.
func (s *search) chain(folder string) []string {
	top := ""
	if s.fileTree.own != nil {
		top = s.fileTree.own.Top
	} else if own := repo.At(folder); own != nil {
		top = own.Outermost().Top
	}
	var list []string
	for {
		list = append(list, folder)
		up := filepath.Dir(folder)
		if folder == top || folder == up {
			slices.Reverse(list)
			return list
		}
		folder = up
	}
}

// above returns the configurations at or above a folder, the outermost first: the one
// that holds, and those that hold for nothing.
func (s *search) above(folder string) ([]string, error) {
	var list []string
	for _, f := range s.chain(folder) {
		h, err := s.in(f)
		switch {
		case err != nil:
			return nil, err
		case h.wrong != "":
			return nil, &hinted{fmt.Errorf("%s is no name that is read: a configuration is called %s", s.fileTree.shown(filepath.Join(f, h.wrong)), configName),
				"rename it, or move it out of the folders that models lie in"}
		case h.config:
			list = append(list, filepath.Join(f, configName))
		}
	}
	return list, nil
}

// below lists the outermost configurations below a folder, in order.
func (s *search) below(folder string) ([]string, error) {
	var list []string
	if s.tree != nil {
		for f := range s.tree {
			if h, _ := s.in(f); h.config && pathname.Within(folder, f) {
				list = append(list, filepath.Join(f, configName))
			}
		}
		slices.Sort(list)
		return slices.DeleteFunc(list, func(c string) bool {
			return slices.ContainsFunc(list, func(o string) bool { return o != c && pathname.Within(filepath.Dir(o), filepath.Dir(c)) })
		}), nil
	}
	err := filepath.WalkDir(folder, func(name string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil || !entry.IsDir():
			return nil // who lists the models tells what cannot be read
		case entry.Name() == ".git", name != folder && repo.Is(name):
			return filepath.SkipDir
		}
		h, err := s.in(name)
		if err == nil && h.config {
			list = append(list, filepath.Join(name, configName))
			return filepath.SkipDir
		}
		return nil
	})
	return list, err
}

// folderOf is the folder that a named path stands in, or that it is, without symbolic
// links, and whether more may lie below it. What is not on disk is taken by its name.
func (s *search) folderOf(path string) (folder string, open bool, err error) {
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		folder, err = filepath.EvalSymlinks(path)
		open = true
	case err == nil:
		dir, _ := filepath.Split(path)
		folder, err = filepath.EvalSymlinks(filepath.Clean(dir))
	case s.tree != nil:
		folder, open, err = path, true, nil
	default: // within a pack, or not there at all
		return s.folderOf(filepath.Dir(filepath.Clean(path)))
	}
	if err != nil {
		return "", false, fmt.Errorf("%s: %w", path, plainly(err))
	}
	folder, err = filepath.Abs(folder)
	return folder, open, err
}

// folderOfFile is the folder that a listed model stands in. What comes from an index
// need not be on disk, and has no symbolic links above it.
func (s *search) folderOfFile(f *collection.File) (string, error) {
	if s.tree == nil {
		folder, _, err := s.folderOf(filepath.FromSlash(f.Path))
		return folder, err
	}
	path, _, _ := strings.Cut(f.Path, collection.Inside)
	return filepath.Abs(filepath.Dir(filepath.FromSlash(path)))
}
