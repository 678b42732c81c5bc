package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/collection/repo"
	"printlint/internal/lint"
	"printlint/internal/pathname"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// applied is a configuration and one of the paths that it holds for.
type applied struct{ file, path string }

// appliedConfigs are the configurations that paths lead to, each once.
type appliedConfigs []applied

func (a *appliedConfigs) add(file, path string) {
	if !slices.ContainsFunc(*a, func(b applied) bool { return b.file == file }) {
		*a = append(*a, applied{file, path})
	}
}

// configOf is the one configuration that holds for all the paths, from the working
// directory on; empty where there is none. It is an error when there is more than one, or
// one for some of them and none for others.
func (s *search) configOf(paths []string, list lister) (string, error) {
	var found appliedConfigs
	for _, p := range paths {
		folder, open, err := s.folderOf(p)
		if err != nil {
			return "", err
		}
		above, err := s.above(folder)
		switch {
		case err != nil:
			return "", err
		case len(above) > 0:
			found.add(above[0], p)
		case !open || list == nil:
			found.add("", p)
		default:
			if err := s.inside(&found, p, folder, list); err != nil {
				return "", err
			}
		}
	}
	switch {
	case len(found) > 1:
		return "", s.tooMany(found)
	case len(found) == 0 || found[0].file == "":
		return "", nil
	}
	return s.fileTree.shown(found[0].file), nil
}

// inside adds the configurations of what lies in a folder that has none at or above it.
func (s *search) inside(found *appliedConfigs, path, folder string, list lister) error {
	below, err := s.below(folder)
	if err != nil {
		return err
	}
	if len(below) == 0 {
		found.add("", path)
		return nil
	}
	for _, file := range below {
		own := filepath.Dir(file)
		opt := collection.Options{Base: s.fileTree.shown(own), Include: ruleset.ModelGlobs}
		if config, err := s.fileTree.parse(s.fileTree.shown(file)); err == nil { // one that is broken holds too
			opt.Include, opt.Exclude = config.Include, config.Exclude
		}
		files, err := s.list(list, s.fileTree.shown(own), opt)
		if err != nil {
			return err
		}
		if len(files) > 0 {
			found.add(file, files[0].Path)
		}
	}
	files, err := s.list(list, path, collection.Options{Base: path, Include: ruleset.ModelGlobs})
	if err != nil {
		return err
	}
	for i := range files {
		at, err := s.folderOfFile(&files[i])
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(below, func(file string) bool { return pathname.Within(filepath.Dir(file), at) }) {
			found.add("", files[i].Path)
			break
		}
	}
	return nil
}

// list lists models; none is no error here.
func (s *search) list(list lister, path string, opt collection.Options) ([]collection.File, error) {
	files, err := list([]string{path}, opt)
	if errors.Is(err, collection.ErrNone) {
		return nil, nil
	}
	return files, err
}

// tooMany refuses to judge by two configurations at once.
func (s *search) tooMany(found appliedConfigs) error {
	slices.SortFunc(found, func(a, b applied) int { return strings.Compare(a.file, b.file) })
	lines := []string{"the models lead to more than one configuration, and a run goes by one:"}
	for _, a := range found {
		holds := "none at or above it"
		if a.file != "" {
			holds = s.fileTree.shown(a.file)
		}
		lines = append(lines, fmt.Sprintf("  %s: %s", words.Safe(filepath.ToSlash(a.path)), words.Safe(holds)))
	}
	return &hinted{errors.New(strings.Join(lines, "\n")),
		"check each by itself, put one " + configName + " above them all, or name one with --config"}
}

// idle lists the configurations that lie between the one that holds and a model that is
// judged. They hold for nothing, and whoever wrote them thinks otherwise.
func (l *loaded) idle(files []collection.File) ([]lint.Idle, error) {
	if l.search == nil {
		return nil, nil
	}
	var list []lint.Idle
	done := map[string]bool{}
	for i := range files {
		if files[i].Skip != "" {
			continue
		}
		folder, err := l.search.folderOfFile(&files[i])
		if err != nil {
			return nil, err
		}
		if done[folder] {
			continue
		}
		done[folder] = true
		if err := l.addIdle(&list, folder); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// addIdle adds the configurations at or above a folder that hold for nothing.
func (l *loaded) addIdle(list *[]lint.Idle, folder string) error {
	above, err := l.search.above(folder)
	if err != nil {
		return err
	}
	for k := 1; k < len(above); k++ {
		r := lint.Idle{
			Remark: lint.Remark{File: l.search.fileTree.shown(above[k]), Text: fmt.Sprintf("this file holds for nothing, %s holds", l.search.fileTree.shown(above[0]))},
			Old:    l.changed != nil && !slices.Contains(l.changed, above[k]) && !slices.Contains(l.changed, above[0]),
		}
		if !slices.Contains(*list, r) {
			*list = append(*list, r)
		}
	}
	return nil
}

// tops lists the tops of the repositories that the paths lie in, each once, with "" for
// none, and the folder of each path.
func tops(paths []string) (tops, folders []string, err error) {
	s := &search{}
	for _, p := range paths {
		folder, _, err := s.folderOf(p)
		if err != nil {
			return nil, nil, err
		}
		top := ""
		if own := repo.At(folder); own != nil {
			top = own.Outermost().Top
		}
		if !slices.Contains(tops, top) {
			tops = append(tops, top)
		}
		folders = append(folders, folder)
	}
	return tops, folders, nil
}
