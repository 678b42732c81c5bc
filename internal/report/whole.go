package report

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes a file whole or not at all: beside the target first, then in its
// place, so that whoever reads it never sees half a report.
func WriteFile(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	out := bufio.NewWriter(f)
	if err = write(out); err != nil {
		return err
	}
	if err = out.Flush(); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
