package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
	"printlint/internal/ruleset"
)

// noneAccepted is what a file of accepted findings that is yet to be written holds.
const noneAccepted = "version: 2\naccepted: []\n"

// accepting reads a file that is not there as one that accepts nothing.
func (w world) accepting(file string) world {
	if file == "" {
		return w
	}
	read, name := w.read, absolute(file)
	w.read = func(asked string) ([]byte, error) {
		data, err := read(asked)
		if errors.Is(err, fs.ErrNotExist) && absolute(asked) == name {
			return []byte(noneAccepted), nil
		}
		return data, err
	}
	return w
}

// absolute is a file's name by which two ways to name it can be compared: with no
// symbolic link above it. Where there is none it stays as it stands.
func absolute(file string) string {
	abs, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return file
	}
	if folder, err := filepath.EvalSymlinks(filepath.Dir(abs)); err == nil {
		return filepath.Join(folder, filepath.Base(abs))
	}
	return abs
}

// accept writes down what was found as accepted, and says so.
func accept(file string, g *gate, r *finding.Report, whole bool, say io.Writer) error {
	below := collection.Relative(filepath.Dir(absolute(filepath.Join(g.base(), configName))), absolute(file))
	if path.IsAbs(below) || below == ".." || strings.HasPrefix(below, "../") {
		return fmt.Errorf("--accept %s: the file must lie in the folder of the configuration or below", file)
	}
	// As the configuration would name it, however it was typed.
	name := path.Join(filepath.ToSlash(g.base()), below)
	book := lint.Book{Name: name, Is: func(other string) bool { return absolute(other) == absolute(file) }}
	data, err := readText(file)
	if err == nil {
		book.Before, err = ruleset.ReadAccepted(name, data)
	}
	var problems *ruleset.Problems
	switch {
	case errors.As(err, &problems):
		return &listed{problems, ""}
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("--accept %s: %w", file, plainly(err))
	}
	list, err := lint.AcceptAll(r, g.files, book, whole)
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
	if !slices.ContainsFunc(g.Accepted, book.Is) {
		fmt.Fprintf(say, "printlint: no configuration names it yet; write there: accepted: [%s]\n", report.Safe(below))
	}
	return nil
}
