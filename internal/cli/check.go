package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
)

const checkDetail = `
Judges every model below the given files and folders, or below the current folder,
by the rules of the nearest .printlint.yml at or above the first path, up to the
top of the repository. Without one the built-in set "standard" holds.

Exit code: 0 clean, 1 findings at or above the level that fails, 2 the job could
not be done (wrong flag, mistake in the rules, a model that cannot be read or
judged, nothing matched). 2 beats 1; the format never matters.`

// checkFlags are the flags of check.
type checkFlags struct {
	config *string
	format choice
	also   *[]string
	failAt choice
	quiet  *bool
	cost   *costFlags

	noAdvice *bool
}

func checkCommand(in *invocation) action {
	f := &checkFlags{
		config: configFlag(in.flags),
		format: choice{word: "text", words: report.Formats()},
		failAt: choice{words: []string{"error", "warning", "note", "none"}},
	}
	in.flags.Var(&f.format, "format", "how to write the report")
	f.also = in.flags.StringArray("also", nil, "write the report to a file as well, as `FORMAT=FILE`; may be repeated")
	in.flags.Var(&f.failAt, "fail-at", "the lowest level that ends in exit code 1; none never does")
	f.cost = newCostFlags(in.flags)
	f.noAdvice = in.flags.Bool("no-advice", false, "do not look for other ways up, which takes a model with findings two to four times as long")
	f.quiet = in.flags.BoolP("quiet", "q", false, "findings only: no notes, totals or progress")
	return func(ctx context.Context, args []string) (int, error) { return f.run(ctx, in.env, args) }
}

func (f *checkFlags) run(ctx context.Context, env Env, paths []string) (int, error) {
	also, err := alsoFiles(*f.also)
	if err != nil {
		return 0, err
	}
	opt, err := f.cost.options()
	if err != nil {
		return 0, err
	}
	config, base, err := loadConfig(*f.config, paths)
	if err != nil {
		return 0, err
	}
	if len(paths) == 0 {
		paths = []string{"."}
	}
	opt.Whole = slices.ContainsFunc(paths, func(p string) bool { return collection.Relative(base, p) == "." })
	files, err := collection.Find(paths, collection.Options{Base: base, Include: config.Include, Exclude: config.Exclude})
	if err != nil {
		return 0, err
	}
	failAt := config.FailAt
	if f.failAt.word != "" {
		failAt = finding.Level(f.failAt.word)
	}
	if !*f.noAdvice {
		opt.Advice.Depth = lint.ShortAdvice
	}
	var g *gallery
	if f.draws(also) {
		g = newGallery(len(files))
		opt.See = g.see
	}
	done := func() {}
	if env.Progress && !*f.quiet {
		opt.Progress, done = progress(env.Stderr, len(files))
	}
	r, err := lint.Run(ctx, Version, files, config, opt)
	done()
	if err != nil {
		return 0, interrupted(err)
	}
	code := lint.Exit(r, failAt)
	shown := report.Options{FailAt: failAt, Exit: code}
	if g != nil {
		shown.Pictures = g.of(r)
	}
	return code, f.write(env, r, also, shown)
}

// draws says whether a report is asked for that shows pictures.
func (f *checkFlags) draws(also []alsoFile) bool {
	return f.format.word == "html" || slices.ContainsFunc(also, func(a alsoFile) bool { return a.format == "html" })
}

// write writes the report, to the files first: a closed pipe must not keep them back.
func (f *checkFlags) write(env Env, r *finding.Report, also []alsoFile, opt report.Options) error {
	for _, a := range also {
		err := report.WriteFile(a.path, func(w io.Writer) error { return report.Write(w, a.format, r, opt) })
		if err != nil {
			return fmt.Errorf("%s could not be written: %w", a.path, plainly(err))
		}
	}
	var out bytes.Buffer
	opt.Colour, opt.Quiet = env.Colour, *f.quiet
	if err := report.Write(&out, f.format.word, r, opt); err != nil {
		return err
	}
	_, err := env.Stdout.Write(out.Bytes())
	return err
}

// plainly drops the operation and the path from an error of the file system.
func plainly(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// alsoFile is one more report to write.
type alsoFile struct{ format, path string }

func alsoFiles(args []string) ([]alsoFile, error) {
	var list []alsoFile
	for _, a := range args {
		format, path, ok := strings.Cut(a, "=")
		c := choice{words: report.Formats()}
		if !ok || path == "" {
			return nil, &hinted{fmt.Errorf("--also %q names no file", a), "write it as FORMAT=FILE, such as json=report.json"}
		}
		if err := c.Set(format); err != nil {
			return nil, fmt.Errorf("--also: no format is called %q; %w", format, err)
		}
		list = append(list, alsoFile{format, path})
	}
	return list, nil
}

// interrupted words the end of a run that was stopped from outside.
func interrupted(err error) error {
	if errors.Is(err, context.Canceled) {
		return fmt.Errorf("stopped before the end; nothing was judged")
	}
	return err
}
