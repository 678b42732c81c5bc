package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"printlint/internal/collection"
	"printlint/internal/collection/repo"
	"printlint/internal/finding"
	"printlint/internal/lint"
)

// gateFlags say which models of a repository a check is about, and whose rules hold.
type gateFlags struct {
	changed, rulesFrom   *string
	staged, skipExcluded *bool
	compare              *bool
	failOn               choice
	// piped is the model on standard input, where the check is about that.
	piped *collection.File
}

func newGateFlags(flags *pflag.FlagSet) *gateFlags {
	f := &gateFlags{
		failOn:       choice{words: []string{string(finding.FailOnAll), string(finding.FailOnNew)}},
		compare:      flags.Bool("compare", false, "with --changed: judge the models as they were too, and say of each finding whether it is new"),
		changed:      flags.String("changed", "", "only models that differ from where the work tree left the git revision `REV`; a renamed one is checked under its new name"),
		staged:       flags.Bool("staged", false, "only what the next git commit adds or changes, models and rules as they are staged"),
		skipExcluded: flags.Bool("skip-excluded", false, "naming nothing but files that models.exclude leaves out is no error, for hooks that name what a commit touches"),
		rulesFrom:    flags.String("rules-from", "", "take every rule, place, waiver and accepted finding from the git revision `REV`, so that a change cannot relax its own gate"),
	}
	flags.Var(&f.failOn, "fail-on", "which findings end in exit code 1: all, or with --changed only new ones, which compares too")
	return f
}

// gate is what a check goes by.
type gate struct {
	*loaded
	files []collection.File
	// there says whether a file is in the file tree that the models are of.
	there func(name string) (bool, error)
	// part says that files are left out by how they stand in the repository, so that
	// nothing can be said of the whole collection.
	part    bool
	remarks []lint.Remark
	change  *collection.Change // what --changed speaks of, asked for once
	// idle are the configurations that hold for nothing.
	idle []lint.Idle
}

// open reads the rules and finds the models. A name in lenient may be missing among
// what the configuration names, as if it were a file that accepts nothing.
func (f *gateFlags) open(named string, paths []string, lenient string, warn func(string)) (*gate, error) {
	if *f.staged && *f.changed != "" {
		return nil, errors.New("--staged and --changed each say which models to check; use one of them")
	}
	if *f.staged || *f.rulesFrom != "" || *f.changed != "" {
		if err := physical(); err != nil {
			return nil, err
		}
	}
	here, err := f.here(paths)
	if err != nil {
		return nil, err
	}
	g := &gate{part: *f.staged || *f.changed != "" || f.piped != nil, there: here.holds}
	if *f.rulesFrom == "" {
		g.loaded, err = here.accepting(lenient).load(named, paths, f.lister(here))
	} else {
		err = f.from(g, here, named, paths)
	}
	if err != nil {
		return nil, err
	}
	if *f.changed != "" {
		if err := f.since(g, named, paths, warn); err != nil {
			return nil, fmt.Errorf("--changed: %w", err)
		}
	}
	if g.files, err = f.find(g, here.own, paths, warn); err != nil {
		return nil, err
	}
	if named == "" {
		err = f.look(g, here)
	}
	return g, err
}

// lister lists the models of the file tree they are in, changed or not.
func (f *gateFlags) lister(here fileTree) lister {
	if f.piped != nil {
		return nil
	}
	if !*f.staged {
		return collection.Find
	}
	return func(paths []string, opt collection.Options) ([]collection.File, error) {
		return collection.Staged(here.own, paths, opt)
	}
}

// look finds the configurations that lie where the models are and hold for nothing: they
// are told of whoever's rules hold, so that the change that brings one is blocked. One
// that is yet to be staged is told of as well.
func (f *gateFlags) look(g *gate, here fileTree) (err error) {
	l := *g.loaded
	if l.search, err = newSearch(here); err != nil {
		return err
	}
	if g.change != nil {
		l.changed = g.change.Paths()
	}
	if g.idle, err = l.idle(g.files); err == nil {
		err = f.lookAtNew(g, &l)
	}
	if err != nil {
		return err
	}
	if *f.staged && *f.rulesFrom == "" {
		g.remarks = append(g.remarks, unstaged(g)...)
	}
	return nil
}

// since says so where everything is new, and remarks where the rules changed as well that
// nobody has held the models that did not against them.
func (f *gateFlags) since(g *gate, named string, paths []string, warn func(string)) error {
	own, err := collection.Repository(paths)
	if err != nil {
		return err
	}
	commit, err := own.Left(*f.changed)
	if err != nil {
		return err
	}
	if repo.BeforeAll(commit) {
		warn(fmt.Sprintf("--changed: %s is the point before the first commit; every model counts as new", *f.changed))
		return nil
	}
	if *f.rulesFrom != "" {
		return nil
	}
	was, err := inCommit(own, *f.changed, commit).load(named, paths, collection.Find)
	if err != nil || was.Digest == g.Digest && was.file == g.file {
		return nil // what could not be read then was no rule to go by
	}
	g.remarks = append(g.remarks, lint.Remark{File: g.about(), Text: fmt.Sprintf(
		"the rules are others than in %s (%.12s); models that did not change were not held against them: check once without --changed", *f.changed, commit)})
	return nil
}

// asked is what the run was asked to check, for shares of it to be held against each other.
func (f *gateFlags) asked(g *gate, paths []string) finding.Asked {
	a := finding.Asked{Config: collection.Relative(g.root, g.file), Changed: *f.changed, Staged: *f.staged, RulesFrom: *f.rulesFrom}
	if g.file == "" {
		a.Config = ""
	}
	for _, p := range paths {
		a.Paths = append(a.Paths, collection.Relative(g.root, p))
	}
	slices.Sort(a.Paths)
	return a
}

// around is what lies around the files of the run, which is whole or not.
func (g *gate) around(whole bool) lint.Around {
	a := g.besides(g.files, g.there)
	if whole {
		a.Rest = nil
	}
	return a
}

// besides is what lies around files that are a part of the collection, where there says what
// is there.
func (l *loaded) besides(files []collection.File, there func(string) (bool, error)) lint.Around {
	return lint.Around{All: files, There: func(name string) bool {
		is, err := there(filepath.ToSlash(filepath.Join(l.root, filepath.FromSlash(name))))
		return is || err != nil
	}, Rest: func() ([]collection.File, error) {
		return collection.Find([]string{l.root}, collection.Options{Base: l.root, Include: l.Include, Exclude: l.Exclude})
	}}
}

// unstaged remarks that a configuration lies in the folder which the commit will not
// hold, so that other rules were gone by.
func unstaged(g *gate) []lint.Remark {
	s, err := newSearch(onDisk())
	if err != nil {
		return nil
	}
	file, err := s.configOf([]string{"."}, nil)
	if err != nil || file == "" || file == g.file {
		return nil
	}
	instead := "the built-in rules hold"
	if g.file != "" {
		instead = "those of " + g.file + " hold"
	}
	return []lint.Remark{{File: file, Text: "it is not staged, so " + instead + " for this check; stage it with git add"}}
}

// about is the configuration to speak of where there may be none.
func (g *gate) about() string {
	if g.file == "" {
		return configName
	}
	return g.file
}

// lookAtNew adds the configurations that the change itself brings and that hold for nothing,
// though no model beside them changed.
func (f *gateFlags) lookAtNew(g *gate, l *loaded) error {
	files, err := f.differing(g, l.search.fileTree)
	if err != nil {
		return err
	}
	for _, file := range files {
		if filepath.Base(file) != configName || collection.Excluded(file, collection.Options{Base: g.root, Exclude: g.Exclude}) {
			continue
		}
		if err := l.addIdle(&g.idle, filepath.Dir(file)); err != nil {
			return err
		}
	}
	return nil
}

// differing lists what is staged or changed, absolute.
func (f *gateFlags) differing(g *gate, here fileTree) (files []string, err error) {
	switch {
	case *f.staged:
		entries, err := here.own.Staged()
		for _, e := range entries {
			files = append(files, filepath.Join(here.own.Top, filepath.FromSlash(e.Path)))
		}
		return files, err
	case g.change != nil:
		return g.change.Paths(), nil
	}
	return nil, nil
}

// here is the file tree that the models are of.
func (f *gateFlags) here(paths []string) (fileTree, error) {
	if !*f.staged {
		return onDisk(), nil
	}
	own, err := collection.Repository(paths)
	if err != nil {
		return fileTree{}, fmt.Errorf("--staged: %w", err)
	}
	return fileTree{own: own, read: below(own, own.StagedText), names: own.StagedNames}, nil
}

// from reads the rules of a revision, and remarks on it where those of the file tree that
// the models are of are others.
func (f *gateFlags) from(g *gate, here fileTree, named string, paths []string) (err error) {
	then, err := atRevision(paths, *f.rulesFrom)
	if err != nil {
		return err
	}
	if g.loaded, err = then.load(named, paths, f.lister(here)); err != nil {
		return err
	}
	now, err := here.load(named, paths, f.lister(here))
	about := g.about()
	if err == nil && now.file != "" {
		about = now.file
	}
	holds := fmt.Sprintf("those of %s (%.12s) hold for this check", *f.rulesFrom, then.commit)
	if repo.BeforeAll(then.commit) {
		holds = fmt.Sprintf("the built-in ones hold for this check, since %s is the point before the first commit", *f.rulesFrom)
	}
	switch {
	case err != nil:
		g.remarks = append(g.remarks, lint.Remark{File: about, Text: "the rules here cannot be read; " + holds})
	case now.Digest != g.Digest || now.file != g.file:
		g.remarks = append(g.remarks, lint.Remark{File: about, Text: "the rules here are others; " + holds})
	}
	return nil
}

// find lists the models.
func (f *gateFlags) find(g *gate, index *repo.Repo, paths []string, warn func(string)) ([]collection.File, error) {
	if f.piped != nil {
		return []collection.File{*f.piped}, nil
	}
	opt := collection.Options{Base: g.root, Include: g.Include, Exclude: g.Exclude, SkipExcluded: *f.skipExcluded, Warn: warn, Unread: func(text string) {
		warn(text)
		g.remarks = append(g.remarks, lint.Remark{File: g.about(), Text: text})
	}}
	if *f.staged {
		files, err := collection.Staged(index, paths, opt)
		if err != nil {
			return nil, fmt.Errorf("--staged: %w", err)
		}
		return files, nil
	}
	if *f.changed != "" {
		own, err := collection.Repository(paths)
		if err == nil {
			g.change, err = collection.Changed(own, *f.changed)
			opt.Since = g.change
		}
		if err != nil {
			return nil, fmt.Errorf("--changed: %w", err)
		}
	}
	return collection.Find(paths, opt)
}

// whole says that every model of the collection is among those checked.
func (g *gate) whole(paths []string) bool {
	return !g.part && slices.ContainsFunc(paths, func(p string) bool { return collection.Relative(g.root, p) == "." })
}
