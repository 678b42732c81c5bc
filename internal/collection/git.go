package collection

import (
	"fmt"
	"path/filepath"
	"slices"

	"printlint/internal/collection/repo"
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
		f.unasked = err
		return
	}
	if ignored[root] {
		return
	}
	kept := slices.DeleteFunc(f.files[start:], func(file File) bool {
		p, ok := own.Below(file.real)
		if ok && ignored[p] {
			if !file.unread {
				f.ignored = append(f.ignored, file.Path)
			}
			return true
		}
		return false
	})
	f.files = f.files[:start+len(kept)]
}

// tell warns of what was left out because git ignores it, so that nobody takes it for
// judged, and of what could not be asked.
func (f *finder) tell() {
	if f.warn == nil {
		return
	}
	if f.unasked != nil {
		f.warn(fmt.Sprintf("git could not say which models are ignored, all are checked: %v", f.unasked))
	}
	slices.Sort(f.ignored)
	switch n := len(slices.Compact(f.ignored)); n {
	case 0:
	case 1:
		f.warn(fmt.Sprintf("%s is left out because git ignores it; name it to check it", f.ignored[0]))
	default:
		f.warn(fmt.Sprintf("%d models are left out because git ignores them, the first is %s; name them or their folder to check them", n, f.ignored[0]))
	}
}

// Repository finds the repository that the paths lie in, all of them in one. It is that
// of the working directory where it holds them all: a submodule that is named from
// outside is a part of what holds it.
func Repository(paths []string) (*repo.Repo, error) {
	var reals []string
	for _, p := range paths {
		if outer, _, ok := enters(p); ok {
			p = outer
		}
		real, err := realOf(p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p, reason(err))
		}
		reals = append(reals, real)
	}
	if cwd, err := resolve("."); err == nil {
		if own := repo.At(cwd); own != nil && !slices.ContainsFunc(reals, func(real string) bool { _, ok := own.Below(real); return !ok }) {
			return own, nil
		}
	}
	var own *repo.Repo
	for i, real := range reals {
		if own == nil {
			if own = repo.At(real); own == nil {
				return nil, fmt.Errorf("%s does not lie in a git repository", paths[i])
			}
		}
		if _, ok := own.Below(real); !ok {
			return nil, fmt.Errorf("%s does not lie in the repository at %s", paths[i], own.Top)
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
