package collection

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// dropIgnored leaves out what git does not track and is told to ignore, of the files
// found from start on below the folder real. A folder that is itself ignored was named
// on purpose: then all of it counts. When git cannot answer, all is checked.
func (f *finder) dropIgnored(own *repo.Repo, real string, start int) {
	var ask []string
	root, _ := own.Below(real)
	if root != "." {
		ask = append(ask, root)
	}
	for i := start; i < len(f.files); i++ {
		if p, ok := own.Below(f.files[i].real); ok {
			ask = append(ask, p)
		}
	}
	ignored, err := own.Ignored(ask)
	if err != nil {
		if f.warn != nil {
			f.warn(fmt.Sprintf("git could not say which models are ignored, all are checked: %v", err))
		}
		return
	}
	if ignored[root] {
		return
	}
	kept := slices.DeleteFunc(f.files[start:], func(file File) bool {
		p, ok := own.Below(file.real)
		return ok && ignored[p]
	})
	f.files = f.files[:start+len(kept)]
}

// Repository finds the repository that the paths lie in, all of them in one.
func Repository(paths []string) (*repo.Repo, error) {
	var own *repo.Repo
	for _, p := range paths {
		real, err := realOf(p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p, reason(err))
		}
		if own == nil {
			if own = repo.At(real); own == nil {
				return nil, fmt.Errorf("%s does not lie in a git repository", p)
			}
		}
		if _, ok := own.Below(real); !ok {
			return nil, fmt.Errorf("%s does not lie in the repository at %s", p, own.Top)
		}
	}
	return own, nil
}

// realOf is the absolute path with no symbolic link above the last element, which need
// not be there.
func realOf(path string) (string, error) {
	if filepath.Base(path) == ".." || filepath.Base(path) == "." {
		return resolve(path)
	}
	folder, err := resolve(filepath.Dir(path))
	return filepath.Join(folder, filepath.Base(path)), err
}

// Changed is an Options.Only: the files that differ from where the work tree left the
// revision.
func Changed(own *repo.Repo, rev string) (func(path string) bool, error) {
	list, err := own.Changed(rev)
	if err != nil {
		return nil, err
	}
	changed := make(map[string]bool, len(list))
	for _, p := range list {
		changed[p] = true
	}
	return func(path string) bool {
		p, ok := own.Below(path)
		return ok && changed[p]
	}, nil
}

// Staged is Find for what the next commit adds or changes: the same files by the same
// globs, with the content that is staged in place of what lies in the folder. Nothing
// staged is no error.
func Staged(own *repo.Repo, paths []string, opt Options) ([]File, error) {
	f := finder{globs: globs{opt.Include, opt.Exclude}}
	if err := f.locate(opt.Base); err != nil {
		return nil, err
	}
	list, err := own.Staged()
	if err != nil {
		return nil, err
	}
	for _, p := range paths {
		real, err := realOf(p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p, reason(err))
		}
		below, _ := own.Below(real)
		for _, e := range list {
			if e.Path == below || below == "." || strings.HasPrefix(e.Path, below+"/") {
				f.stage(own, e, e.Path == below)
			}
		}
	}
	f.sort()
	return Unpack(f.files, opt.Exclude), nil
}

// stage takes one staged file if it is a model, or named outright.
func (f *finder) stage(own *repo.Repo, e repo.Entry, named bool) {
	real := filepath.Join(own.Top, filepath.FromSlash(e.Path))
	file := New(pathname.Shown(filepath.ToSlash(f.shown(real))), f.ruled(real), e.Size, staged(own, e))
	switch {
	case f.excluded(file.Rules):
		if !named {
			return
		}
		file.Skip = skipExcluded
	case !named && !f.included(file.Rules):
		return
	case e.Link:
		file.Skip = "symbolic link; the file it leads to is checked where it lies"
	}
	f.files = append(f.files, file)
}

// shown and ruled name a staged file as the file system's would be, whatever symbolic
// links led here.
func (f *finder) shown(real string) string {
	if cwd, err := filepath.EvalSymlinks(f.cwd); err == nil {
		if rel, err := filepath.Rel(cwd, real); err == nil {
			return rel
		}
	}
	return real
}

func (f *finder) ruled(real string) string {
	if base, err := filepath.EvalSymlinks(f.base); err == nil {
		return relative(base, real)
	}
	return relative(f.base, real)
}

// staged opens the staged content. A pack is opened for each of its models, so it is
// kept.
func staged(own *repo.Repo, e repo.Entry) func() (Content, error) {
	fetch := func() ([]byte, error) { return own.Blob(e) }
	if isPack(e.Path) {
		fetch = sync.OnceValues(fetch)
	}
	return func() (Content, error) {
		data, err := fetch()
		if err != nil {
			return nil, err
		}
		return inMemory{bytes.NewReader(data)}, nil
	}
}

// inMemory is content that was read whole.
type inMemory struct{ *bytes.Reader }

// Close has nothing to do.
func (inMemory) Close() error { return nil }
