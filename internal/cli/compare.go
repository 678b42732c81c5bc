package cli

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
	"printlint/internal/report/words"
)

const compareDetail = `
Says what became of model A in model B: the same shape, however it was exported; the
same one moved, turned, mirrored, or of another size; or another shape, and how far the
two lie apart. A table shows which figures moved, and the lines below it which findings
are new and which are gone. Both are judged by the rules that hold for B.

A and B are files of any two formats, models in packs (pack.zip!/clip.stl), or files of
a git revision: main:parts/clip.stl, from this folder on or from the top of the
repository. One of them may be -, a model on standard input.

That a shape is the same is proved: every corner and triangle of one is one of the
other, or the distance was measured in points all over both surfaces.

Exit code: 0 whatever differs, or 2 when a model cannot be read or judged.`

// compareFlags are the flags of compare.
type compareFlags struct {
	config   *string
	format   choice
	all      *bool
	pictures *string
	cost     *costFlags
}

func compareCommand(in *invocation) action {
	f := &compareFlags{config: configFlag(in.flags), format: choice{word: "text", words: []string{"text", "json", "markdown"}}}
	in.flags.Var(&f.format, "format", "how to write the comparison")
	f.all = in.flags.Bool("all", false, "show every figure, not only those that moved")
	f.pictures = picturesFlag(in.flags)
	f.cost = newCostFlags(in.flags)
	return func(ctx context.Context, args []string) (int, error) {
		return f.run(ctx, in.env, args[0], args[1])
	}
}

func (f *compareFlags) run(ctx context.Context, env Env, a, b string) (int, error) {
	opt, err := f.cost.options()
	if err != nil {
		return 0, err
	}
	l, was, now, err := f.both(env, a, b)
	if err != nil {
		return 0, err
	}
	opt.Before = &lint.Before{Rev: a, Files: was, FailOn: finding.FailOnAll, Whole: true}
	var drawn *gallery
	if *f.pictures != "" {
		drawn = newGallery(len(now), *f.pictures, (&gate{loaded: l, files: append(was, now...)}).keeps())
		opt.Observer, opt.Before.Observer = drawn, drawn.changed
	}
	r, err := lint.Run(ctx, Version(), now, l.Config, opt)
	if err != nil {
		return 0, interrupted(err)
	}
	if drawn != nil && drawn.err != nil {
		return 0, drawn.err
	}
	onlyModels(r)
	c := &comparison{a, b, r, *f.all, opt.Before.Unread, nil}
	if drawn != nil {
		c.pictures = drawn.of(r)
	}
	return c.exit(), env.print(func(w *bytes.Buffer) error {
		switch f.format.word {
		case "json":
			return report.WriteJSON(w, c.json(), compareDepth)
		case "markdown":
			c.markdown(w)
		default:
			c.text(w)
		}
		return nil
	})
}

// both lists the models of both sides, and reads the rules that hold for the second.
func (f *compareFlags) both(env Env, a, b string) (l *loaded, was, now []collection.File, err error) {
	if a == stdinMark && b == stdinMark {
		return nil, nil, nil, fmt.Errorf("only one of the two can be - for standard input")
	}
	about := []string{"."}
	for _, name := range []string{a, b} {
		if _, _, rev := collection.Revision(name); !rev && name != stdinMark {
			about[0] = name
		}
	}
	if l, err = onDisk().load(*f.config, about, collection.Find); err != nil {
		return nil, nil, nil, err
	}
	opt := collection.Options{Base: l.root, Include: l.Include}
	if was, err = sideFiles(env, a, opt); err == nil {
		now, err = sideFiles(env, b, opt)
	}
	if err == nil {
		env.say(l.says())
	}
	return l, was, now, err
}

// sideFiles lists the models of one side.
func sideFiles(env Env, name string, opt collection.Options) ([]collection.File, error) {
	piped, err := modelOnStdin(env, []string{name})
	if err != nil {
		return nil, err
	}
	if piped != nil {
		return []collection.File{*piped}, nil
	}
	rev, path, ok := collection.Revision(name)
	if !ok {
		return collection.Find([]string{name}, opt)
	}
	own, err := collection.Repository([]string{filepath.Dir(".")})
	if err == nil {
		var files []collection.File
		if files, err = collection.AtRevision(own, rev, path, opt); err == nil {
			return files, nil
		}
	}
	return nil, &hinted{fmt.Errorf("%s: %w", words.Safe(name), err), "a name with a colon in it is a file of a git revision: main:parts/clip.stl"}
}
