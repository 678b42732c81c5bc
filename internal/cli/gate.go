package cli

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"printlint/internal/collection"
	"printlint/internal/collection/repo"
	"printlint/internal/lint"
	"printlint/internal/ruleset"
)

// gateFlags say which models of a repository a check is about, and whose rules hold.
type gateFlags struct {
	changed, rulesFrom *string
	staged             *bool
}

func newGateFlags(flags *pflag.FlagSet) *gateFlags {
	return &gateFlags{
		changed:   flags.String("changed", "", "only models that differ from where the work tree left the git revision `REV`; a renamed one is checked under its new name"),
		staged:    flags.Bool("staged", false, "only what the next git commit adds or changes, models and rules as they are staged"),
		rulesFrom: flags.String("rules-from", "", "take every rule, place, waiver and accepted finding from the git revision `REV`, so that a change cannot relax its own gate"),
	}
}

// gate is what a check goes by.
type gate struct {
	config *ruleset.Config
	file   string // the configuration, empty for none
	files  []collection.File
	// part says that files are left out by how they stand in the repository, so that
	// nothing can be said of the whole collection.
	part    bool
	remarks []lint.Remark
}

// base is the folder that paths in the configuration start at.
func (g *gate) base() string { return baseOf(g.file) }

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
	g := &gate{part: *f.staged || *f.changed != ""}
	if *f.rulesFrom == "" {
		g.config, g.file, err = here.accepting(lenient).load(named, paths)
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
	if *f.staged && *f.rulesFrom == "" {
		g.remarks = append(g.remarks, unstaged(g, here, named, paths)...)
	}
	g.files, err = f.find(g, here.own, paths, warn)
	return g, err
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
	was, file, err := inCommit(own, *f.changed, commit).load(named, paths)
	if err != nil || was.Digest == g.config.Digest && file == g.file {
		return nil // what could not be read then was no rule to go by
	}
	g.remarks = append(g.remarks, lint.Remark{File: g.about(), Text: fmt.Sprintf(
		"the rules are others than in %s (%.12s); models that did not change were not held against them: check once without --changed", *f.changed, commit)})
	return nil
}

// unstaged remarks that a configuration lies in the folder which the commit will not
// hold, so that other rules were gone by.
func unstaged(g *gate, here world, named string, paths []string) []lint.Remark {
	if named != "" || len(paths) == 0 {
		return nil
	}
	there := onDisk()
	there.own = here.own
	file, err := there.nearest(paths[0])
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

// here is the world that the models are of.
func (f *gateFlags) here(paths []string) (world, error) {
	if !*f.staged {
		return onDisk(), nil
	}
	own, err := collection.Repository(paths)
	if err != nil {
		return world{}, fmt.Errorf("--staged: %w", err)
	}
	return inIndex(own), nil
}

// from reads the rules of a revision, and remarks on it where those of the world that
// the models are of are others.
func (f *gateFlags) from(g *gate, here world, named string, paths []string) (err error) {
	then, err := atRevision(paths, *f.rulesFrom)
	if err != nil {
		return err
	}
	if g.config, g.file, err = then.load(named, paths); err != nil {
		return err
	}
	g.config.From = then.commit
	now, file, err := here.load(named, paths)
	about := file
	if about == "" {
		about = g.about()
	}
	holds := fmt.Sprintf("those of %s (%.12s) hold for this check", *f.rulesFrom, then.commit)
	if repo.BeforeAll(then.commit) {
		holds = fmt.Sprintf("the built-in ones hold for this check, since %s is the point before the first commit", *f.rulesFrom)
	}
	switch {
	case err != nil:
		g.remarks = append(g.remarks, lint.Remark{File: about, Text: "the rules here cannot be read; " + holds})
	case now.Digest != g.config.Digest || file != g.file:
		g.remarks = append(g.remarks, lint.Remark{File: about, Text: "the rules here are others; " + holds})
	}
	return nil
}

// find lists the models.
func (f *gateFlags) find(g *gate, index *repo.Repo, paths []string, warn func(string)) ([]collection.File, error) {
	opt := collection.Options{Base: g.base(), Include: g.config.Include, Exclude: g.config.Exclude, Warn: warn}
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
			opt.Since, err = collection.Changed(own, *f.changed)
		}
		if err != nil {
			return nil, fmt.Errorf("--changed: %w", err)
		}
	}
	return collection.Find(paths, opt)
}

// whole says that every model of the collection is among those checked.
func (g *gate) whole(paths []string) bool {
	return !g.part && slices.ContainsFunc(paths, func(p string) bool { return collection.Relative(g.base(), p) == "." })
}
