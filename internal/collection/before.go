package collection

import (
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// Before lists what the files of a run were where the work tree left the revision, by the
// paths that they had there, and the models that are gone since. It names the commit of
// that point.
func Before(own *repo.Repo, rev string, now []File, paths []string, opt Options) (commit string, files []File, err error) {
	f := finder{globs: globs{opt.Include, opt.Exclude}}
	if err := f.locate(opt.Base); err != nil {
		return "", nil, err
	}
	commit, list, err := own.Before(rev)
	if err != nil {
		return "", nil, err
	}
	scope, inside, err := scopeOf(own, paths)
	if err != nil {
		return "", nil, err
	}
	there, all := present(now), own.Contents(entriesOf(list))
	for _, e := range list {
		real := filepath.Join(own.Top, filepath.FromSlash(e.Path))
		file := New(pathname.Shown(filepath.ToSlash(f.shown(real))), f.ruled(real), e.Size, staged(all.Of, e.IndexEntry))
		wanted := there[file.Rules]
		if e.Gone {
			wanted = f.included(file.Rules) && !f.excluded(file.Rules) && slices.ContainsFunc(scope, func(s string) bool { return lies(s, e.Path) })
		}
		if wanted {
			file.native, file.real = f.shown(real), real
			f.files = append(f.files, file)
		}
	}
	f.sort()
	files = Unpack(f.files, opt.Exclude)
	if inside { // of a pack only what was named
		files = slices.DeleteFunc(files, func(file File) bool { return !there[file.Rules] })
	}
	return commit, files, nil
}

// entriesOf are the entries of files as they were.
func entriesOf(list []repo.Former) []repo.IndexEntry {
	entries := make([]repo.IndexEntry, len(list))
	for i := range list {
		entries[i] = list[i].IndexEntry
	}
	return entries
}

// scopeOf lists the named paths from the top of the repository on, and says whether one
// enters a pack.
func scopeOf(own *repo.Repo, paths []string) (scope []string, inside bool, err error) {
	for _, p := range paths {
		if outer, _, ok := enters(p); ok {
			p, inside = outer, true
		}
		real, err := realOf(p)
		if err != nil {
			return nil, false, err
		}
		if below, ok := own.Below(real); ok {
			scope = append(scope, below)
		}
	}
	return scope, inside, nil
}

// present are the paths of what is judged, and of the packs it lies in.
func present(files []File) map[string]bool {
	there := map[string]bool{}
	for i := range files {
		if files[i].Skip != "" {
			continue
		}
		path := files[i].Rules
		for at := len(path); at >= 0; at = strings.LastIndex(path[:at], Inside) {
			there[path[:at]] = true
		}
	}
	return there
}
