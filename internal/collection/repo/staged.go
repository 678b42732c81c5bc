package repo

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
)

// IndexEntry is one file of the index.
type IndexEntry struct {
	Path string // from the top on, with slashes
	Hash string // of the content, for Blob; of a submodule, its commit
	Size int64  // in bytes, as git or the store of large files keeps it
	Kind ChangeKind
}

// Staged lists the files that the next commit adds or changes. What was announced with
// git add --intent-to-add only is not among them.
func (r *Repo) Staged() ([]IndexEntry, error) {
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	from, err := s.commit("HEAD")
	if err != nil {
		return nil, err
	}
	fields, err := s.list(nil, "diff-index", "--cached", "--ita-invisible-in-index", "--raw", "-z", "--no-abbrev", "--no-renames", "--no-ext-diff",
		"--ignore-submodules=dirty", "--diff-filter=d", from, "--")
	if err != nil {
		return nil, err
	}
	differing, err := differences(fields)
	if err != nil {
		return nil, err
	}
	var list []IndexEntry
	for _, d := range differing {
		if d.status == "U" {
			return nil, fmt.Errorf("%s is not merged; settle it and stage it first", d.path)
		}
		list = append(list, IndexEntry{Path: d.path, Hash: d.newHash, Kind: d.kind()})
	}
	return list, s.measureAll(list)
}

// measureAll fills in the sizes; that content is missing is an error.
func (s *session) measureAll(list []IndexEntry) error {
	missing, err := s.measure(list)
	if err == nil && missing {
		err = errors.New("git: staged content is missing from the repository")
	}
	return err
}

// measure fills in the sizes, and says whether content is missing.
func (s *session) measure(list []IndexEntry) (missing bool, err error) {
	var ask []string
	for i := range list {
		if list[i].Kind != Module {
			ask = append(ask, list[i].Hash)
		}
	}
	sizes, err := s.weigh(ask)
	if err != nil {
		return false, err
	}
	large, err := s.pointers(ask)
	if err != nil {
		return false, err
	}
	for i := range list {
		e := &list[i]
		size, there := sizes[e.Hash]
		missing = missing || !there && e.Kind != Module
		if e.Size = size; e.Kind == Plain {
			if p, ok := large[e.Hash]; ok {
				e.Size = p.size
			}
		}
	}
	return missing, nil
}

// Blob returns the content of an entry as a checkout would write it: line ends as the
// attributes say, and a large file in place of what stands for it, if the repository's
// store or the work tree has it. No other filter is applied; where one would be, that
// is the error.
func (r *Repo) Blob(e IndexEntry) ([]byte, error) {
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	if len(s.settings.filters) > 0 {
		values, err := s.attributes(ended([]string{e.Path}), false)
		if err != nil {
			return nil, err
		}
		if name := values[0][slices.Index(changing, "filter")]; slices.Contains(s.settings.filters, name) {
			return nil, fmt.Errorf("a checkout would pass its content through the filter %q, and no filter is run here; check the folder instead of what is staged", name)
		}
	}
	text, err := s.run(nil, "cat-file", "--filters", "--path="+e.Path, e.Hash)
	if err != nil {
		return nil, err
	}
	if p, ok := pointerOf(text); ok {
		if file := s.content(p, e.Path); file != "" {
			return os.ReadFile(file)
		}
	}
	return text, nil
}

// StagedText returns what a file holds in the index, by its path from the top on; a
// file that is not there is fs.ErrNotExist.
func (r *Repo) StagedText(path string) ([]byte, error) {
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	e, err := s.configLine(path)
	switch {
	case err != nil:
		return nil, err
	case e.Kind == Link:
		return nil, errors.New("is a symbolic link in the index")
	case e.Kind == Module:
		return nil, fs.ErrNotExist
	}
	s.most = rulesSize
	text, err := s.run(nil, "cat-file", "blob", e.Hash)
	if err == nil && len(text) == 0 {
		// It may be announced only, with git add --intent-to-add.
		added, err := s.list(nil, "diff-files", "--raw", "-z", "--diff-filter=A", "--", ":(top,literal)"+path)
		if err != nil || len(added) > 0 {
			return nil, errors.Join(err, fs.ErrNotExist)
		}
	}
	return text, err
}

// configLine finds one path in the index.
func (s *session) configLine(name string) (IndexEntry, error) {
	found, err := s.list(nil, "ls-files", "-z", "--stage", "--", ":(top,literal)"+name)
	if err != nil {
		return IndexEntry{}, err
	}
	for _, line := range found {
		// What lies in a folder of that name is listed too.
		if e, ok := indexed(line); ok && e.Path == name {
			return e, nil
		}
	}
	return IndexEntry{}, fs.ErrNotExist
}

// indexed reads a line of the index: "MODE HASH STAGE", a tab, the path.
func indexed(line string) (IndexEntry, bool) {
	meta, name, _ := strings.Cut(line, "\t")
	words := strings.Fields(meta)
	if len(words) != 3 {
		return IndexEntry{}, false
	}
	d := difference{newMode: words[0]}
	return IndexEntry{Path: name, Hash: words[1], Kind: d.kind()}, true
}

// Modules lists the submodules that the index names, each with its commit.
func (r *Repo) Modules() ([]IndexEntry, error) {
	s, err := r.open(short)
	if err != nil {
		return nil, err
	}
	defer s.close()
	found, err := s.list(nil, "ls-files", "-z", "--stage")
	var list []IndexEntry
	for _, line := range found {
		if e, ok := indexed(line); ok && e.Kind == Module {
			list = append(list, e)
		}
	}
	return list, err
}

// Target follows a symbolic link within the index to the file it leads to: an entry to
// read in its place, under the path that the target has.
func (r *Repo) Target(link IndexEntry) (IndexEntry, error) {
	s, err := r.open(short)
	if err != nil {
		return IndexEntry{}, err
	}
	defer s.close()
	text, err := s.run(nil, "cat-file", "blob", link.Hash)
	if err != nil {
		return IndexEntry{}, err
	}
	to := path.Join(path.Dir(link.Path), string(text))
	if path.IsAbs(string(text)) || to == ".." || strings.HasPrefix(to, "../") || bytes.ContainsRune(text, 0) {
		return IndexEntry{}, ErrLeadsOut
	}
	if to == "." {
		return IndexEntry{}, ErrFolder
	}
	e, err := s.configLine(to)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		below, err := s.list(nil, "ls-files", "-z", "--", ":(top,literal)"+to)
		switch {
		case err != nil:
			return e, err
		case len(below) > 0:
			return e, ErrFolder
		}
		return e, ErrLeadsNowhere
	case err != nil:
		return e, err
	case e.Kind == Module:
		return e, ErrFolder
	case e.Kind == Link:
		return e, errors.New("symbolic link to another symbolic link; let it lead to the file itself")
	}
	one := []IndexEntry{e}
	err = s.measureAll(one)
	return one[0], err
}

// Where symbolic links lead that lead to no file of the repository.
var (
	ErrLeadsOut     = errors.New("symbolic link that leads out of the repository; name its target to check it, or exclude it in the configuration")
	ErrLeadsNowhere = errors.New("symbolic link that leads to nothing that git tracks; stage its target too, or exclude it in the configuration")
	ErrFolder       = errors.New("symbolic link to a folder; name its target to check it, or exclude it in the configuration")
)
