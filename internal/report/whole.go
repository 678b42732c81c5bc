package report

import (
	"bufio"
	"io"
	"os"
	"path/filepath"

	"printlint/internal/work"
)

// WriteFile writes a file whole or not at all: beside the target first, then in its
// place, so that whoever reads it never sees half a report.
func WriteFile(path string, write func(io.Writer) error) error {
	return WriteFileAs(path, 0o644, write)
}

// WriteFileAs is WriteFile for a file of that mode: nobody else can read it for a moment.
func WriteFileAs(path string, mode os.FileMode, write func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer work.AtExit(func() {
		f.Close()
		os.Remove(f.Name()) // not there any more where all went well
	})()
	out := bufio.NewWriter(f)
	if err = write(out); err != nil {
		return err
	}
	if err = out.Flush(); err != nil {
		return err
	}
	if err = f.Chmod(mode); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
