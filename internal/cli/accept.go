package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
	"printlint/internal/ruleset"
)

// noneAccepted is what a file of accepted findings that is yet to be written holds.
const noneAccepted = "version: 1\naccepted: []\n"

// accepting reads a file that is not there as one that accepts nothing.
func (w world) accepting(file string) world {
	if file == "" {
		return w
	}
	read, name := w.read, path.Clean(filepath.ToSlash(file))
	w.read = func(asked string) ([]byte, error) {
		data, err := read(asked)
		if errors.Is(err, fs.ErrNotExist) && path.Clean(asked) == name {
			return []byte(noneAccepted), nil
		}
		return data, err
	}
	return w
}

// accept writes down what was found as accepted, and says so.
func accept(file string, g *gate, r *finding.Report, whole bool, say io.Writer) error {
	name := path.Clean(filepath.ToSlash(file))
	if below := collection.Relative(g.base(), file); path.IsAbs(below) || below == ".." || strings.HasPrefix(below, "../") {
		return fmt.Errorf("--accept %s: the file must lie in the folder of the configuration or below", file)
	}
	var before []ruleset.Accepted
	data, err := os.ReadFile(file)
	if err == nil {
		before, err = ruleset.ReadAccepted(name, data)
	}
	var problems *ruleset.Problems
	switch {
	case errors.As(err, &problems):
		return &listed{problems, ""}
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("--accept %s: %w", file, plainly(err))
	}
	list, err := lint.AcceptAll(r, g.files, before, name, whole)
	if err != nil {
		return fmt.Errorf("--accept: %w", err)
	}
	if err := report.WriteFile(file, func(w io.Writer) error { return ruleset.WriteAccepted(w, list) }); err != nil {
		return fmt.Errorf("%s could not be written: %w", file, plainly(err))
	}
	findings := 0
	for i := range list {
		findings += len(list[i].Findings)
	}
	fmt.Fprintf(say, "printlint: %s accepts %d findings now\n", report.Safe(name), findings)
	if !named(g, name) {
		fmt.Fprintf(say, "printlint: no configuration names it yet; write there: accepted: [%s]\n", report.Safe(collection.Relative(g.base(), file)))
	}
	return nil
}

// named says that the configuration names a file of accepted findings.
func named(g *gate, name string) bool {
	for _, f := range g.Accepted {
		if f == name {
			return true
		}
	}
	return false
}
