package collection

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// Change is what differs from a revision, for Options.Since.
type Change struct {
	own   *repo.Repo
	list  []repo.ChangedPath
	paths map[string]bool // what differs
	whole []string        // folders of which everything counts as changed
}

// Changed asks what differs from where the work tree left the revision.
func Changed(own *repo.Repo, rev string) (*Change, error) {
	list, err := own.Changed(rev)
	if err != nil {
		return nil, err
	}
	c := &Change{own: own, list: list, paths: make(map[string]bool, len(list))}
	for _, change := range list {
		c.paths[change.Path] = true
	}
	return c, nil
}

// Paths lists what differs, absolute.
func (c *Change) Paths() []string {
	list := make([]string, len(c.list))
	for i, change := range c.list {
		list[i] = filepath.Join(c.own.Top, filepath.FromSlash(change.Path))
	}
	return list
}

// has reports whether a file differs, by its absolute path with no symbolic link above
// the last element: itself, what it leads to, or all of its folder.
func (c *Change) has(path string) bool {
	if p, ok := c.own.Below(path); ok && (c.paths[p] || slices.ContainsFunc(c.whole, func(folder string) bool { return lies(folder, p) })) {
		return true
	}
	if info, err := os.Lstat(path); err != nil || info.Mode()&os.ModeSymlink == 0 {
		return false
	}
	target, err := filepath.EvalSymlinks(path)
	if err != nil {
		return false
	}
	p, ok := c.own.Below(target)
	return ok && c.paths[p]
}

// lies reports whether a path is a folder or lies in it, both with slashes and from the
// same place on.
func lies(folder, path string) bool {
	return folder == "." || path == folder || strings.HasPrefix(path, folder+"/")
}

// Why a changed path cannot be judged.
var (
	errNotOnDisk   = errors.New("git lists it as changed, but it is not on disk; take it into the sparse checkout, or check it out again")
	errNoModule    = errors.New("submodule whose commit is new here, but which is not checked out; run git submodule update --init, or exclude it in the configuration")
	errInnerModule = errors.New("submodule of a changed submodule, but not checked out; run git submodule update --init --recursive, or exclude it in the configuration")
)

// since makes sure that everything that changed is among the files, whether the walk saw
// it or not: what git lists is what has to be judged or told.
func (f *finder) since(c *Change, args []string) error {
	var scope []string
	for _, arg := range args {
		outer, _, inside := enters(arg)
		if inside {
			arg = outer
		}
		real, err := realOf(arg)
		if err != nil {
			return err
		}
		followed, err := resolve(arg)
		if err != nil {
			return err
		}
		for _, path := range []string{real, followed} { // a link that was named stands for both
			if below, ok := c.own.Below(path); ok {
				scope = append(scope, below)
			}
		}
	}
	f.seen = make(map[string]bool, len(f.files))
	for i := range f.files {
		f.seen[f.files[i].real] = true
	}
	for _, change := range c.list {
		holds := change.Kind == repo.Module || change.Kind == repo.Nested
		if holds && slices.ContainsFunc(scope, func(s string) bool { return s != "." && lies(change.Path, s) }) {
			c.whole = append(c.whole, change.Path) // what was named of it was found there
		}
		if !slices.ContainsFunc(scope, func(s string) bool { return lies(s, change.Path) }) {
			continue
		}
		if err := f.ensure(c, change); err != nil {
			return err
		}
	}
	return nil
}

// ensure puts one changed path among the files if it is a model or holds models.
func (f *finder) ensure(c *Change, change repo.ChangedPath) error {
	real := filepath.Join(c.own.Top, filepath.FromSlash(change.Path))
	file := f.listed(real)
	if f.excluded(file.Rules) {
		return nil
	}
	switch change.Kind {
	case repo.Module:
		c.whole = append(c.whole, change.Path)
		return f.module(file, errNoModule)
	case repo.Nested: // told of, unless it was named
	case repo.Link:
		f.link(c, file)
	default:
		info, err := os.Lstat(real)
		switch {
		case !f.included(file.Rules):
		case err != nil:
			f.put(file.failing(errNotOnDisk))
		case !f.seen[real]:
			file.Size = info.Size()
			f.put(file)
		}
	}
	return nil
}

// listed makes a file of one that git lists.
func (f *finder) listed(real string) File {
	shown := f.shown(real)
	file := onDisk(real, pathname.Shown(filepath.ToSlash(shown)), f.ruled(real), 0)
	file.native, file.real = shown, real
	return file
}

// put takes a file, in the place of what was said of its path before.
func (f *finder) put(file File) {
	f.drop(file.real)
	f.files = append(f.files, file)
	f.seen[file.real] = true
}

// drop forgets what was said of a path.
func (f *finder) drop(real string) {
	f.files = slices.DeleteFunc(f.files, func(file File) bool { return file.real == real })
	delete(f.seen, real)
}

// link takes a symbolic link that changed: it is judged by what it leads to, under its
// own path. One that leads out, nowhere or to a folder cannot be. What the walk said of
// it stays.
func (f *finder) link(c *Change, file File) {
	if f.seen[file.real] {
		return
	}
	target, err := filepath.EvalSymlinks(file.real)
	var info os.FileInfo
	if err == nil {
		info, err = os.Stat(target)
	}
	_, inside := c.own.Below(target)
	model := f.included(file.Rules)
	switch {
	case err != nil && model:
		f.put(file.failing(errLinkNowhere))
	case err == nil && info.IsDir():
		f.put(file.failing(repo.ErrFolder))
	case err != nil || !model:
	case !inside:
		f.put(file.failing(repo.ErrLeadsOut))
	default:
		file.Size = info.Size()
		f.put(file)
	}
}

// module takes the models of a submodule that is checked out, with those of its own
// submodules; missing is what is wrong where it is not.
func (f *finder) module(file File, missing error) error {
	if !repo.Is(file.real) {
		f.put(file.failing(missing))
		return nil
	}
	f.drop(file.real) // it was left alone
	if err := f.walk(file.native); err != nil {
		return err
	}
	inner, err := repo.At(file.real).Modules()
	if err != nil {
		return err
	}
	for _, m := range inner {
		in := f.listed(filepath.Join(file.real, filepath.FromSlash(m.Path)))
		if f.excluded(in.Rules) {
			continue
		}
		if err := f.module(in, errInnerModule); err != nil {
			return err
		}
	}
	return nil
}
