// Command demo writes the demo collection: the shared shelf of printable things of an
// allotment society, made up for this project. Each model is there for a reason, told
// in the collection's README.md, which the command writes as well.
//
//	go run ./internal/demo [-out DIR]
//
// The same program writes the same bytes; a test compares them with testdata/demo.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	out := flag.String("out", filepath.Join("testdata", "demo"), "folder to write the collection to")
	flag.Parse()
	if err := write(*out); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

// write puts every file of the collection that is generated into dir.
func write(dir string) error {
	files, err := generate()
	if err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(dir, filepath.FromSlash(f.path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.bytes, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// file is one generated file, its path below the collection with slashes.
type file struct {
	path  string
	bytes []byte
}

// generate makes every file in memory: the models and the page about them.
func generate() ([]file, error) {
	var files []file
	for _, m := range shelf {
		var b bytes.Buffer
		for _, s := range m.bodies() {
			if err := m.format(&b, s, m.name()); err != nil {
				return nil, fmt.Errorf("%s: %w", m.path, err)
			}
		}
		files = append(files, file{m.path, b.Bytes()})
	}
	return append(files, file{"README.md", []byte(page())}), nil
}
