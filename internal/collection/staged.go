package collection

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"sync"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// Staged is Find for what the next commit adds or changes: the same files by the same
// globs, with the content that is staged in place of what lies in the folder. Nothing
// staged is no error.
func Staged(own *repo.Repo, paths []string, opt Options) ([]File, error) {
	f := finder{globs: globs{opt.Include, opt.Exclude}, seen: map[string]bool{}, warn: opt.Warn}
	if err := f.locate(opt.Base); err != nil {
		return nil, err
	}
	list, err := own.Staged()
	if err != nil {
		return nil, err
	}
	all := own.Contents(list)
	names := sync.OnceValue(func() map[string][]string { return indexed(own) }) // asked where rules look at folders
	for _, p := range paths {
		real, err := realOf(p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p, reason(err))
		}
		below, _ := own.Below(real)
		for _, e := range list {
			if e.Path == below || below == "." || strings.HasPrefix(e.Path, below+"/") {
				if err := f.stage(own, all, e, e.Path == below); err != nil {
					return nil, err
				}
			}
		}
	}
	for i := range f.files {
		if below, ok := own.Below(filepath.Dir(f.files[i].real)); ok {
			f.files[i].folder = func() []string { return names()[below] }
		}
	}
	f.tell()
	f.sort()
	return Unpack(f.files, opt.Exclude), nil
}

// stage takes one staged file if it is a model, or named outright.
func (f *finder) stage(own *repo.Repo, all *repo.Contents, e repo.IndexEntry, named bool) error {
	real := filepath.Join(own.Top, filepath.FromSlash(e.Path))
	file := New(pathname.Shown(filepath.ToSlash(f.shown(real))), f.ruled(real), e.Size, staged(all.Of, e))
	file.native, file.real = f.shown(real), real
	model := named || f.included(file.Rules)
	switch {
	case f.excluded(file.Rules):
		if !named {
			return nil
		}
		file.Skip = skipExcluded
	case e.Kind == repo.Module:
		return f.stageModule(file, e)
	case e.Kind == repo.Link:
		target, err := own.Target(e)
		switch {
		case errors.Is(err, repo.ErrFolder), err != nil && model:
			file = file.failing(err)
		case !model:
			return nil
		default:
			file = New(file.Path, file.Rules, target.Size, staged(all.Of, target))
		}
	case !model:
		return nil
	}
	f.files = append(f.files, file)
	return nil
}

// stageModule takes the models of a submodule whose commit is staged, if that commit is
// the one that is checked out.
func (f *finder) stageModule(file File, e repo.IndexEntry) error {
	if inner := repo.At(file.real); inner != nil && inner.Top == file.real {
		if commit, err := inner.Commit("HEAD"); err != nil || commit != e.Hash {
			f.put(file.failing(errOtherCommit))
			return nil
		}
	}
	return f.module(file, errNoModule)
}

// errOtherCommit is why a submodule cannot be judged as it is staged.
var errOtherCommit = errors.New("submodule at another commit than is staged; stage that one, or run git submodule update")

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
func staged(read func(repo.IndexEntry) ([]byte, error), e repo.IndexEntry) func() (Content, error) {
	fetch := func() ([]byte, error) { return read(e) }
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
