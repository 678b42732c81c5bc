package collection

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/pathname"
)

// Options narrow what Find returns.
type Options struct {
	// Base is the folder that Include and Exclude are written against: the one that
	// holds the configuration. Empty is the working directory.
	Base string
	// Include and Exclude are globs as pathname.Match reads them.
	Include, Exclude []string
	// Since, when not nil, keeps what differs from a revision, and adds what the walk
	// did not see of that. Keeping none of those found is no error.
	Since *Change
	// SkipExcluded makes it no error to name nothing but files that Exclude leaves out.
	SkipExcluded bool
	// Warn, when not nil, is told what could not be respected.
	Warn func(text string)
	// Unread, when not nil, is told once of the files that look like models and are not
	// read.
	Unread func(text string)
}

// Find lists the files of the named files and folders, sorted by path, each once, however
// it was named. The order of the names changes nothing.
//
// A folder is walked without its .git. In a repository, what git does not track and is
// told to ignore is left out, and other repositories inside it, submodules among them,
// are left alone and told of. A symbolic link to a model in the folder is a model under
// its own name as well; one that leads elsewhere cannot be read: whoever wants that
// names it. Paths for rules follow no link to a folder, so that the rules for a file do
// not depend on how it was reached.
//
// A file that is named outright is taken whatever Include and git say, but Exclude holds
// for it too: hooks name files, and an exclusion must not depend on who asks. A pack is
// listed as the models in it. A path that does not exist is an error, and so is finding
// nothing to judge (ErrNone); a name that leads to nothing to judge, beside others, is a
// file that cannot be read.
func Find(paths []string, opt Options) ([]File, error) {
	f := finder{globs: globs{opt.Include, opt.Exclude}, warn: opt.Warn}
	if err := f.locate(opt.Base); err != nil {
		return nil, err
	}
	for _, p := range paths {
		start := len(f.files)
		if err := f.add(p); err != nil {
			return nil, err
		}
		f.args = append(f.args, argument{p, slices.Clone(f.files[start:])})
	}
	var only func(string) bool
	if opt.Since != nil {
		only = opt.Since.has
		if err := f.since(opt.Since, paths); err != nil {
			return nil, err
		}
	}
	f.tell()
	f.sort()
	u := newUnpacker(opt.Exclude)
	files := f.readable(only, u.count)
	if only == nil {
		files = u.all(files)
	}
	empty, err := f.empty(files)
	if opt.SkipExcluded && errors.Is(err, ErrNone) && f.onlyExcluded() {
		err = nil
	}
	if only != nil {
		files = u.all(slices.DeleteFunc(files, func(file File) bool { return !file.changed(only) }))
	}
	if opt.Unread != nil && len(u.count) > 0 {
		opt.Unread(u.count.words())
	}
	return append(files, empty...), err
}

// changed says that a file, or something it is reached through, is among those meant.
func (f *File) changed(only func(string) bool) bool {
	return only(f.real) || slices.ContainsFunc(f.through, only)
}

// skipExcluded is why a file that was named is left out.
const skipExcluded = "excluded by models.exclude in the configuration"

// finder collects files.
type finder struct {
	globs
	cwd, base string // absolute
	realBase  string // base with no symbolic link in it
	files     []File
	args      []argument
	seen      map[string]bool // for since: where the files really lie
	ignored   []string        // models that git ignores, as they are shown
	unasked   error           // why git could not say which
	warn      func(string)
}

// argument is what was named, and what it led to.
type argument struct {
	path  string
	files []File
}

// locate says where paths start.
func (f *finder) locate(base string) (err error) {
	if f.cwd, err = os.Getwd(); err == nil {
		f.base, err = filepath.Abs(base)
	}
	if f.realBase = f.base; err == nil {
		if real, err := filepath.EvalSymlinks(f.base); err == nil {
			f.realBase = real
		}
	}
	return err
}

// sort puts files in order and keeps each once: of several names of one file the one that
// was given outright, that leads through no link, or else the shortest.
func (f *finder) sort() {
	slices.SortFunc(f.files, func(a, b File) int {
		return cmp.Or(trueFirst(a.named, b.named), trueFirst(b.winding, a.winding), cmp.Compare(len(a.Path), len(b.Path)), strings.Compare(a.Path, b.Path))
	})
	seen := map[[2]string]bool{}
	f.files = slices.DeleteFunc(f.files, func(file File) bool {
		twice := seen[file.key()]
		seen[file.key()] = true
		return twice
	})
	sortByPath(f.files)
}

func sortByPath(files []File) {
	slices.SortStableFunc(files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
}

// key tells files apart.
func (f *File) key() [2]string {
	if f.real == "" {
		return [2]string{f.Path}
	}
	return [2]string{f.real, f.inner}
}

func trueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// readable counts and drops what only looks like a model.
func (f *finder) readable(only func(string) bool, count extensionCount) []File {
	return slices.DeleteFunc(slices.Clone(f.files), func(file File) bool {
		if file.unread && (only == nil || file.changed(only)) {
			count.add(file.Path)
		}
		return file.unread
	})
}

// empty returns a file that says so for each folder or pack that was named and has nothing
// to judge in it, or an error where nothing at all was found.
func (f *finder) empty(files []File) ([]File, error) {
	judged := map[string]bool{}
	for i := range files {
		if files[i].Skip == "" {
			judged[files[i].outermost()] = true
		}
	}
	if len(judged) == 0 {
		return nil, none(files)
	}
	kept := map[[2]string]string{}
	for i := range f.files {
		kept[f.files[i].key()] = f.files[i].outermost()
	}
	var list []File
	for _, a := range f.args {
		reaches := func(file File) bool { return judged[kept[file.key()]] }
		told := func(file File) bool { return file.named && file.Skip != "" }
		if slices.ContainsFunc(a.files, reaches) || slices.ContainsFunc(a.files, told) {
			continue
		}
		file, err := f.file(a.path, "", 0)
		if err != nil {
			return nil, err
		}
		list = append(list, file.failing(errors.New("nothing in it can be judged; name what holds models, and see models.include and models.exclude in the configuration")))
	}
	return list, nil
}

// outermost is the path of the file that the model lies in, or its own.
func (f *File) outermost() string { return cmp.Or(f.outer, f.Path) }

// onlyExcluded says that every name led to a file that Exclude leaves out.
func (f *finder) onlyExcluded() bool {
	kept := func(file File) bool { return !file.named || file.Skip != skipExcluded }
	return !slices.ContainsFunc(f.args, func(a argument) bool {
		return len(a.files) == 0 || slices.ContainsFunc(a.files, kept)
	})
}

// none is the error of a run without anything to judge, with the reasons there are.
func none(files []File) error {
	if len(files) == 0 {
		return ErrNone
	}
	more := ""
	if len(files) > 1 {
		more = fmt.Sprintf("; and %d more are left out", len(files)-1)
	}
	return fmt.Errorf("%s: %s%s; %w", files[0].Path, files[0].Skip, more, ErrNone)
}

// add takes one argument: a file or a folder.
func (f *finder) add(arg string) error {
	info, err := os.Stat(arg)
	if outer, inner, ok := enters(arg); ok && err != nil {
		return f.addInside(outer, inner)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", arg, reason(err))
	}
	if info.IsDir() {
		return f.walk(arg)
	}
	real, err := realOf(arg)
	if err != nil {
		return fmt.Errorf("%s: %w", arg, reason(err))
	}
	file, err := f.file(arg, real, info.Size())
	if err != nil {
		return err
	}
	file.named, file.through = true, trail(real)
	if !info.Mode().IsRegular() {
		file = file.failing(errNotRegular)
	}
	if f.excluded(file.Rules) {
		file.Skip = skipExcluded
	}
	f.files = append(f.files, file)
	return nil
}

// file names a file both ways. Real is its absolute path with no symbolic link above the
// last element, where that is known.
func (f *finder) file(native, real string, size int64) (File, error) {
	abs, err := filepath.Abs(native)
	if err != nil {
		return File{}, err
	}
	shown, err := filepath.Rel(f.cwd, abs)
	if err != nil {
		shown = abs // on another volume
	}
	rules := relative(f.base, abs)
	if below, err := filepath.Rel(f.realBase, real); real != "" && err == nil && filepath.IsLocal(below) {
		rules = relative(f.realBase, real)
	}
	file := onDisk(native, pathname.Shown(filepath.ToSlash(shown)), rules, size)
	file.native, file.real, file.winding = native, real, abs != real
	return file, nil
}

// relative writes the path below the folder, or the whole path when it lies elsewhere, as
// rules name it.
func relative(folder, abs string) string {
	if rel, err := filepath.Rel(folder, abs); err == nil && filepath.IsLocal(rel) {
		abs = rel
	}
	return pathname.Shown(filepath.ToSlash(abs))
}

// Relative is the path that rules are written against: from the configuration's
// folder on, with slashes, through no symbolic link to a folder.
func Relative(base, path string) string {
	folder, err := filepath.Abs(base)
	if err != nil {
		return filepath.ToSlash(path)
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	realFolder, folderErr := filepath.EvalSymlinks(folder)
	real, err := realOf(path)
	if below, relErr := filepath.Rel(realFolder, real); folderErr == nil && err == nil && relErr == nil && filepath.IsLocal(below) {
		return relative(realFolder, real)
	}
	return relative(folder, abs)
}

// reason drops the operation and path that the caller names anyway.
func reason(err error) error {
	if p, ok := err.(*fs.PathError); ok {
		return p.Err
	}
	return err
}
