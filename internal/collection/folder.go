package collection

import (
	"path"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection/repo"
	"printlint/internal/meshfile"
	"printlint/internal/pathname"
)

// Folder is a folder that holds models of a run, on disk, in the index or in a pack.
type Folder struct {
	// Path and Rules are as those of a File; "." is the working directory, or the folder of
	// the configuration.
	Path, Rules string
	// Names are the names of the files in it, as paths show them, sorted. What git ignores is
	// left out.
	Names []string

	real   string // on disk, absolute; empty in a pack
	packed bool
	named  map[string]bool // files of the run in it
}

// FolderOf is the folder of a path; that of a file at the top of a pack is the pack.
func FolderOf(file string) string {
	dir, _ := path.Split(file)
	if at := strings.LastIndex(file, Inside); at >= 0 && at+len(Inside) == len(dir) {
		return file[:at]
	}
	return path.Clean(dir)
}

// in is the path of a file without what a pack by gzip alone adds, and that which rules go by.
func (f *File) in() (name, rules string) {
	name, rules = f.Path, f.Rules
	if f.folder == nil { // packed with gzip by itself, it lies where its pack does
		name, _, _ = strings.Cut(name, Inside)
		rules, _, _ = strings.Cut(rules, Inside)
	}
	return name, rules
}

// In is the folder that the file lies in, as Folders names it.
func (f *File) In() string {
	name, _ := f.in()
	return FolderOf(name)
}

// Folders lists the folders of files, sorted by path, each once. A file that is neither on
// disk nor in a pack has none.
func (s *Folders) Folders(files []File) []Folder {
	var list []Folder
	at := map[string]int{}
	for i := range files {
		f := &files[i]
		names := s.all(f)
		name, rules := f.in()
		if f.Skip != "" || names == nil {
			continue
		}
		own := FolderOf(name)
		k, known := at[own]
		if !known {
			k, at[own] = len(list), len(list)
			folder := Folder{Path: own, Rules: FolderOf(rules), Names: names, packed: strings.Contains(name, Inside), named: map[string]bool{}}
			if real, err := realOf(f.native); err == nil && !folder.packed {
				folder.real = filepath.Dir(real)
			}
			list = append(list, folder)
		}
		list[k].named[path.Base(name)] = true
	}
	dropIgnored(list)
	for i := range list {
		list[i].Names = shownNames(list[i].Names)
	}
	slices.SortFunc(list, func(a, b Folder) int { return strings.Compare(a.Path, b.Path) })
	return list
}

// shownNames are names as paths show them, sorted.
func shownNames(names []string) []string {
	list := make([]string, len(names))
	for i, name := range names {
		list[i] = pathname.Shown(name)
	}
	slices.Sort(list)
	return list
}

// dropIgnored leaves out of folders what git ignores. Each repository is asked once; where it
// cannot say, all stays.
func dropIgnored(list []Folder) {
	owns, ask := map[string]*repo.Repo{}, map[string][]string{}
	belows, tops := make([]string, len(list)), make([]string, len(list))
	for i := range list {
		if own := list[i].repository(); own != nil {
			below, _ := own.Below(list[i].real)
			owns[own.Top], belows[i], tops[i] = own, below, own.Top
			for _, name := range list[i].Names {
				ask[own.Top] = append(ask[own.Top], path.Join(below, name))
			}
		}
	}
	ignored := map[string]map[string]bool{}
	for top, own := range owns {
		if out, err := own.Ignored(ask[top]); err == nil {
			ignored[top] = out
		}
	}
	for i := range list {
		d, out := &list[i], ignored[tops[i]]
		if len(out) > 0 {
			d.Names = slices.DeleteFunc(slices.Clone(d.Names), func(name string) bool { return out[path.Join(belows[i], name)] && !d.named[name] })
		}
	}
}

// repository is the one that the folder lies in; nil where there is none.
func (d *Folder) repository() *repo.Repo {
	if d.real == "" {
		return nil
	}
	return repo.At(d.real)
}

// Models lists the names of the models in the folder, whether the run looks at them or not.
func (d *Folder) Models(include, exclude []string) []string {
	all := globs{include, exclude}
	return slices.DeleteFunc(slices.Clone(d.Names), func(name string) bool {
		if d.named[name] {
			return false
		}
		own := d.File(name)
		single := meshfile.Known(name)
		if ext := path.Ext(name); strings.EqualFold(ext, ".gz") {
			single = meshfile.Known(name[:len(name)-len(ext)])
		}
		return !single || all.excluded(own) || !d.packed && !all.included(own)
	})
}

// File is the path of a file in the folder, as rules name it.
func (d *Folder) File(name string) string {
	switch {
	case d.Rules == ".":
		return name
	case d.packed && isPack(d.Rules): // the top of the pack
		return d.Rules + Inside + name
	}
	return d.Rules + "/" + name
}

// LastChanged numbers the commits up to one that changed each file of the folders last, by the
// path that rules name it by, the newest of a repository with the lowest number. No commit is
// HEAD, and leaves out what is not committed as it is now. What lies in no repository or in a
// pack is left out too.
func LastChanged(commit string, folders []Folder, asks func(d *Folder, name string) bool) (map[string]int, error) {
	type question struct {
		own   *repo.Repo
		paths []string
		rules []string
	}
	var list []*question
	by := map[string]*question{}
	for i := range folders {
		d := &folders[i]
		own := d.repository()
		if own == nil {
			continue
		}
		q := by[own.Top]
		if q == nil {
			q = &question{own: own}
			by[own.Top], list = q, append(list, q)
		}
		below, _ := own.Below(d.real)
		for _, name := range d.Names {
			if asks(d, name) {
				q.paths, q.rules = append(q.paths, path.Join(below, name)), append(q.rules, d.File(name))
			}
		}
	}
	last := map[string]int{}
	for _, q := range list {
		if len(q.paths) == 0 {
			continue
		}
		own, err := q.own.LastChanged(commit, q.paths)
		if err != nil {
			return nil, err
		}
		for i, p := range q.paths {
			if n, ok := own[p]; ok {
				last[q.rules[i]] = n
			}
		}
	}
	return last, nil
}

// Shallow says that the folder lies in a repository whose history ends before its first commit.
func (d *Folder) Shallow() bool {
	own := d.repository()
	return own != nil && own.Shallow()
}

// Packed says that the folder is a pack or lies in one.
func (d *Folder) Packed() bool { return d.packed }

// Linked says that the file is reached through a symbolic link, so that it is another name
// of what may be a model already.
func (f *File) Linked() bool { return len(f.through) > 0 }
