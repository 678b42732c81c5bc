// Package collection says which models a run is about: the files and folders that
// were named, narrowed by the configuration's globs, in one order.
//
// A File knows how to open its own content, so that a model can as well come from a
// folder, from a revision of a repository or from inside a pack.
package collection

import (
	"errors"
	"io"
	"os"
)

// ErrNone says that nothing matched: a gate that looked at nothing must not pass.
var ErrNone = errors.New("no model matched; check the paths, and models.include and models.exclude in the configuration")

var errNotRegular = errors.New("not a regular file")

// Content is the bytes of one file, to be read from several places at once.
type Content interface {
	io.ReaderAt
	io.Closer
	Size() int64
}

// File is one file to check.
type File struct {
	// Path is shown to people: relative to the working directory where it can be,
	// with slashes.
	Path string
	// Rules is the path below the configuration's folder, with slashes: what
	// globs, places and waivers are written against.
	Rules string
	// Size in bytes, for planning; 0 when not known.
	Size int64
	// Skip says why the file is left out on purpose, or is empty.
	Skip string
	// Notes are what is to be said of the file whatever is in it.
	Notes []string

	open   func() (Content, error)
	native string // as it was reached on disk
	real   string // absolute, with no symbolic link above the last element
	// through are the symbolic links that lead to the content, where there are any, and
	// what they lead to: absolute. The content changes with each of them.
	through []string
	folder  func() []string // of one in a pack or in the index: the names in its folder there; may be nil
	inner   string          // the path inside the pack real, where only that was named
	outer   string          // Path of the pack it was found in, or its own
	named   bool            // outright, not found in a folder
	winding bool            // Path leads through a link to a folder
	unread  bool            // looks like a model, and is not read
}

// New makes a file whose content comes from open.
func New(path, rules string, size int64, open func() (Content, error)) File {
	return File{Path: path, Rules: rules, Size: size, open: open}
}

// Open returns the content. The caller closes it.
func (f *File) Open() (Content, error) { return f.open() }

// OnDisk returns the name by which the file, or the outermost pack it lies in, was reached
// in the file system; empty where it was not.
func (f *File) OnDisk() string { return f.native }

// broken makes a file that cannot be opened, so that what went wrong is reported
// beside the other models and does not end the run.
func broken(path, rules string, err error) File {
	return New(path, rules, 0, nil).failing(err)
}

// failing is the file with nothing but an error in it.
func (f File) failing(err error) File {
	f.Size, f.open = 0, func() (Content, error) { return nil, err }
	return f
}

// disk is a file of the file system.
type disk struct {
	*os.File
	size int64
}

// Size returns the size the file had when it was opened.
func (d disk) Size() int64 { return d.size }

func onDisk(native, path, rules string, size int64) File {
	return New(path, rules, size, func() (Content, error) {
		// Opening a pipe would wait for ever for someone to write to it.
		if info, err := os.Stat(native); err == nil && !info.Mode().IsRegular() {
			return nil, errNotRegular
		}
		file, err := os.Open(native)
		if err != nil {
			return nil, err
		}
		info, err := file.Stat()
		if err != nil {
			file.Close()
			return nil, err
		}
		return disk{file, info.Size()}, nil
	})
}
