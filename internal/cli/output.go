package cli

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/finding"
	"printlint/internal/report"
	"printlint/internal/report/words"
)

// reportFlags say how a report is written and judged.
type reportFlags struct {
	format     choice
	also       *[]string
	failAt     choice
	showWaived *bool
	quiet      *bool
	show       choice
	rules      *[]string
	sort       choice
}

func newReportFlags(flags *pflag.FlagSet) *reportFlags {
	f := &reportFlags{
		format: choice{word: "text", words: report.Formats()},
		failAt: choice{words: []string{"error", "warning", "note", "none"}},
		show:   choice{word: "note", words: []string{"error", "warning", "note"}},
		sort:   choice{word: "path", words: []string{"path", "worst"}},
	}
	flags.Var(&f.format, "format", "how to write the report")
	f.also = flags.StringArray("also", nil, "write the report to a file as well, as `FORMAT=FILE`; may be repeated; html=FOLDER/ writes a page for each model")
	flags.Var(&f.failAt, "fail-at", "the lowest level that ends in exit code 1; none never does")
	f.showWaived = flags.Bool("show-waived", false, "text: show the findings that are waived or accepted too, each with its reason")
	flags.Var(&f.show, "level", "text, markdown: show only findings of this level and worse; the others count all the same")
	f.rules = flags.StringArray("rule", nil, "text, markdown: show only what the rule `NAME` finds; may be repeated")
	flags.Var(&f.sort, "sort", "text: models by their path, or those with the worst findings first")
	f.quiet = flags.BoolP("quiet", "q", false, "findings only: no remarks, totals or progress")
	return f
}

// level is the level that fails: as the flag says, or else as the configuration does.
func (f *reportFlags) level(otherwise finding.Level) finding.Level {
	return cmp.Or(finding.Level(f.failAt.word), otherwise)
}

// draws says whether a report is asked for that shows pictures.
func (f *reportFlags) draws(also []alsoFile) bool {
	return f.format.word == "html" || slices.ContainsFunc(also, func(a alsoFile) bool { return a.format == "html" })
}

// onePage is how many models one page holds well: more make it slow, and the pictures small.
const onePage = 250

// pages is how many models share the pictures of a run: those of one page, or fewer where
// each has a page of its own and all are drawn.
func (f *reportFlags) pages(env Env, also []alsoFile, files int) int {
	if slices.ContainsFunc(also, alsoFile.folder) {
		if files > maxDrawn {
			return maxDrawn
		}
		return min(files, onePage)
	}
	if files > onePage && f.draws(also) && !*f.quiet {
		few := "small pictures"
		if files > maxDrawn {
			few = fmt.Sprintf("small pictures of the worst %d", maxDrawn)
		}
		env.say(fmt.Sprintf("%d models make a large page with %s; --also html=FOLDER/ writes a page for each model", files, few))
	}
	return min(files, maxDrawn)
}

// write writes the report, to the files first: a closed pipe must not keep them back. A
// file that cannot be written keeps nothing else back either, and is complained about at
// the end.
func (f *reportFlags) write(env Env, r *finding.Report, also []alsoFile, opt report.Options) error {
	opt.Waived, opt.WorstFirst = *f.showWaived, f.sort.word == "worst"
	opt.Show = report.Selection{Level: finding.Level(f.show.word), Rules: *f.rules}
	var failed error
	for _, a := range also {
		if a.folder() {
			failed = cmp.Or(failed, writePages(a.path, r, opt))
			continue
		}
		opt.Folder = filepath.Dir(a.path)
		err := writeFile(a.path, func(w io.Writer) error { return report.Write(w, a.format, r, opt) })
		failed = cmp.Or(failed, err)
	}
	opt.Folder, opt.Colour, opt.Quiet = "", env.Colour, *f.quiet
	out := bufio.NewWriter(env.Stdout)
	return cmp.Or(failed, report.Write(out, f.format.word, r, opt), out.Flush())
}

// asks refuses to select what no rule finds, and where nothing that is written is selected
// from: a JSON report keeps everything, and whoever asks for less would not see that.
func (f *reportFlags) asks(also []alsoFile, rules []finding.Rule) error {
	if f.show.word == "note" && len(*f.rules) == 0 {
		return nil
	}
	selects := func(format string) bool { return format == "text" || format == "markdown" }
	if !selects(f.format.word) && !slices.ContainsFunc(also, func(a alsoFile) bool { return selects(a.format) }) {
		return fmt.Errorf("--level and --rule choose what text and markdown show; %s holds everything", f.format.word)
	}
	var known []string
	for _, r := range rules {
		known = append(known, r.ID)
	}
	for _, name := range *f.rules {
		if !slices.Contains(known, name) {
			return unknown("rule", name, known, "see: printlint rules")
		}
	}
	return nil
}

// writeFile writes a file whole or not at all, and names it where it could not.
func writeFile(path string, write func(io.Writer) error) error {
	if err := report.WriteFile(path, write); err != nil {
		return fmt.Errorf("%s could not be written: %w", words.Safe(path), plainly(err))
	}
	return nil
}

// writePages writes a folder of pages, which is made where it is missing.
func writePages(folder string, r *finding.Report, opt report.Options) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("%s could not be made: %w", words.Safe(folder), plainly(err))
	}
	return report.WritePages(func(name string, to func(io.Writer) error) error { return writeFile(filepath.Join(folder, name), to) }, r, opt)
}

// text is what writes a text or other bytes to a file.
func text(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
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

// folder says that a folder of pages is asked for, by a slash at the end.
func (a alsoFile) folder() bool {
	return a.format == "html" && os.IsPathSeparator(a.path[len(a.path)-1])
}

// file is the one that it writes; of a folder, the list.
func (a alsoFile) file() string {
	if a.folder() {
		return filepath.Join(a.path, "index.html")
	}
	return a.path
}

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
