package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"printlint/internal/collection"
	"printlint/internal/report/words"
)

// guarded is what a run must not write over.
type guarded struct {
	what  map[string]string // by absolute path, as realPath writes it
	paths []string
	infos []os.FileInfo // of paths, once they were asked for; nil where there is no file
}

// keep adds a file, which need not be there.
func (k *guarded) keep(path, what string) {
	if k.what == nil {
		k.what = map[string]string{}
	}
	real := realPath(path)
	if _, ok := k.what[real]; !ok {
		k.what[real] = what
		k.paths = append(k.paths, real)
	}
}

// keeps adds everything that a check goes by: its models, and the files of its rules.
func (g *gate) keeps() *guarded {
	k := &guarded{}
	for i := range g.files {
		if native := g.files[i].OnDisk(); native != "" {
			k.keep(native, "a model that is checked")
		}
	}
	if g.file != "" {
		k.keep(filepath.FromSlash(g.file), "the configuration")
	}
	for _, set := range g.Sets {
		if info, err := os.Stat(filepath.FromSlash(set)); err == nil && info.Mode().IsRegular() {
			k.keep(filepath.FromSlash(set), "a rule set that is used")
		}
	}
	return k
}

// realPath is the absolute path with no symbolic link above its last element, as far as
// that is there, by which two ways to name a file can be compared.
func realPath(path string) string {
	path = filepath.FromSlash(path)
	abs, err := filepath.Abs(path)
	if err != nil {
		return filepath.Clean(path)
	}
	return filepath.Join(existing(filepath.Dir(abs)), filepath.Base(abs))
}

// allow says whether a file may be written, under any of its names: it must not be a
// device, a folder, a model, or a file that the run goes by or writes otherwise.
func (k *guarded) allow(flag, path string) error {
	refuse := func(what string) error {
		return fmt.Errorf("%s %s: that is %s; name another file", flag, words.Safe(path), what)
	}
	if what, ok := k.what[realPath(path)]; ok {
		return refuse(what)
	}
	if name := filepath.Base(path); name == configName || misnamed.MatchString(name) {
		return refuse("what a configuration is called")
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil // there is none yet; whether it can be made is seen when it is written
	}
	for i, at := range k.stat() {
		if at != nil && os.SameFile(info, at) {
			return refuse(k.what[k.paths[i]])
		}
	}
	switch {
	case info.IsDir():
		return refuse("a folder")
	case !info.Mode().IsRegular():
		return refuse("a device or pipe, no file")
	case collection.LooksLikeModel(path):
		return refuse("a model that lies there")
	}
	return nil
}

func (k *guarded) stat() []os.FileInfo {
	for _, path := range k.paths[len(k.infos):] {
		info, err := os.Stat(path)
		if err != nil {
			info = nil
		}
		k.infos = append(k.infos, info)
	}
	return k.infos
}

// reports holds that every report is a file of its own and writes over nothing.
func (k *guarded) reports(also []alsoFile) error {
	for _, a := range also {
		if info, err := os.Stat(a.path); err == nil && info.IsDir() && a.format == "html" && !a.folder() {
			return &hinted{fmt.Errorf("--also html=%s: that is a folder", words.Safe(a.path)), "write html=" + words.Safe(a.path) + "/ for a page of each model in it"}
		}
		if err := k.allow("--also", a.file()); err != nil {
			return err
		}
		k.keep(a.file(), "another report of this run")
	}
	return nil
}
