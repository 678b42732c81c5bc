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
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// noneAccepted is what a file of accepted findings that is yet to be written holds.
const noneAccepted = "version: 2\naccepted: []\n"

// accepting reads a file that is not there as one that accepts nothing.
func (t fileTree) accepting(file string) fileTree {
	if file == "" {
		return t
	}
	read, name := t.read, realPath(file)
	t.read = func(asked string) ([]byte, error) {
		data, err := read(asked)
		if errors.Is(err, fs.ErrNotExist) && realPath(asked) == name {
			return []byte(noneAccepted), nil
		}
		return data, err
	}
	return t
}

// accept writes down what was found as accepted, and says so.
func accept(file string, g *gate, r *finding.Report, whole bool, say io.Writer) error {
	below := collection.Relative(filepath.Dir(realPath(filepath.Join(g.folder(), configName))), realPath(file))
	if path.IsAbs(below) || below == ".." || strings.HasPrefix(below, "../") {
		return fmt.Errorf("--accept %s: the file must lie in the folder of the configuration or below", file)
	}
	// As the configuration would name it, however it was typed.
	name := path.Join(filepath.ToSlash(g.folder()), below)
	book := lint.Book{Name: name, Is: func(other string) bool {
		return realPath(other) == realPath(file)
	}}
	data, err := readText(file)
	if err == nil {
		book.Before, err = ruleset.ReadAccepted(name, data)
	}
	var problems *ruleset.Problems
	switch {
	case errors.As(err, &problems):
		return &listed{problems: problems}
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("--accept %s: %w", file, plainly(err))
	}
	list, err := lint.AcceptAll(r, g.files, book, whole)
	if err != nil {
		return fmt.Errorf("--accept: %w", err)
	}
	if err := writeFile(file, func(w io.Writer) error { return ruleset.WriteAccepted(w, list) }); err != nil {
		return err
	}
	findings := 0
	for i := range list {
		findings += len(list[i].Findings)
	}
	fmt.Fprintf(say, "printlint: %s accepts %d findings now\n", words.Safe(name), findings)
	if !slices.ContainsFunc(g.Accepted, book.Is) {
		fmt.Fprintf(say, "printlint: no configuration names it yet; write there: accepted: [%s]\n", words.Safe(below))
	}
	return nil
}
