// Package meshfile reads the files that printable models are kept in.
//
// Every reader takes what it is given as a claim by a stranger: counts are checked
// against the size of the file before anything is allocated, memory stays within a
// small multiple of that size, and a file that cannot be read whole is an error that
// names the line or byte, never a smaller model. Every triangle remembers where it
// stood, so that a finding can point at it.
//
// There is one file a format. A reader is an entry in the table formats.
package meshfile

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path"
	"slices"
	"strings"

	"printlint/internal/mesh"
)

// Input is a file to read from; *bytes.Reader and *SizedFile satisfy it.
type Input interface {
	io.ReaderAt
	// Size is the length of the file in bytes.
	Size() int64
}

// Options say how to read.
type Options struct {
	// Scale is the length in mm of one unit of a format that names no unit; 0 means 1.
	Scale float64
}

// Part is one model of a file.
type Part struct {
	// Name is the name of the model inside its file, "" where the file is the model.
	Name string
	// Kind is the format: stl, stl-ascii, obj, ply, ply-ascii, off, 3mf, amf.
	Kind string
	// Unit is the unit that the file names, as in mm or inch; "" in formats that name none.
	Unit string
	// Inner is the path inside a container, "" elsewhere.
	Inner string
	// Triangles are those of the model; nil until Load where a file can hold several models.
	Triangles *mesh.Triangles
	// Notes say what was passed over.
	Notes []string
	// Skip is why this part is no model to judge, "" when it is one.
	Skip string
	// Undecided is why the triangles are not all of this part, so that it can be judged
	// only in part and never passes as clean; "" when they are all of it.
	Undecided string
	// Misnamed says that the content is of another format than the name, "" where it is
	// as named. It is among the Notes as well.
	Misnamed string
	// Unread says that only the first bytes of the file were looked at: there are no triangles.
	Unread bool

	load func() (*mesh.Triangles, []string, error)
}

// Load sets Triangles. The models of a file are laid out one at a time, because a few of them
// can be many times what the file holds. An error here is about this part alone.
func (p *Part) Load() error {
	if p.load == nil {
		return nil
	}
	load := p.load
	p.load = nil
	var err error
	var notes []string
	p.Triangles, notes, err = load()
	p.Notes = append(p.Notes[:len(p.Notes):len(p.Notes)], notes...)
	return err
}

// format is one way a model can be stored.
type format struct {
	kind string // and the extension of its files, without the dot
	// matches tells from the beginning and size of a file that it is of this format.
	matches func(head []byte, size int64) bool
	read    func(in Input, head []byte, opt Options) ([]Part, error)
}

// formats are tried in this order where the extension does not decide.
var formats = []format{
	{"stl", matchesSTL, readSTL},
	{"obj", matchesOBJ, readOBJ},
	{"ply", matchesPLY, readPLY},
	{"off", matchesOFF, readOFF},
	{"3mf", matchesZip, readContainer},
	{"amf", matchesAMF, readAMF},
}

// Known tells whether the extension of name is one that Read understands.
func Known(name string) bool { return byExtension(name) != nil }

// Extensions lists the extensions that Read understands, in lower case with the dot.
func Extensions() []string {
	var all []string
	for _, f := range formats {
		all = append(all, "."+f.kind)
	}
	return all
}

// Recognized reports whether a file could be read as a model of any format, by its
// beginning, of which it needs a kilobyte, and its size.
func Recognized(head []byte, size int64) bool {
	return slices.ContainsFunc(formats, func(f format) bool { return f.matches(head, size) })
}

func byExtension(name string) *format {
	ext := strings.ToLower(path.Ext(name))
	if i := slices.IndexFunc(formats, func(f format) bool { return "."+f.kind == ext }); i >= 0 {
		return &formats[i]
	}
	return nil
}

// Read returns the models of a file. Its extension says what the file should be and
// its content what it is: where they differ the content decides, with a note. Only
// the extension of name is used; nothing is opened by it.
func Read(name string, in Input, opt Options) ([]Part, error) {
	if opt.Scale == 0 {
		opt.Scale = 1
	}
	if !(opt.Scale > 0) || math.IsInf(opt.Scale, 1) {
		return nil, fmt.Errorf("the scale must be a positive number, not %v", opt.Scale)
	}
	f, head, note, err := begin(name, in)
	if err != nil {
		return nil, err
	}
	parts, err := f.read(in, head, opt)
	if err != nil {
		return nil, err
	}
	if note != "" {
		for i := range parts {
			parts[i].Misnamed = note
			parts[i].Notes = append([]string{note}, parts[i].Notes...)
		}
	}
	return parts, nil
}

// Unread is a file as the one model that it is taken for, by its name and its first bytes
// alone; ok is false where more must be read to know its format.
func Unread(name string, in Input) (p Part, ok bool, err error) {
	f, head, note, err := begin(name, in)
	if err != nil {
		return Part{}, false, err
	}
	p = Part{Kind: f.kind, Misnamed: note, Unread: true}
	if note != "" {
		p.Notes = []string{note}
	}
	return p, !matchesZip(head, in.Size()) || note == "" && f.kind == "3mf", nil
}

// begin reads the first bytes of a file and picks its format by them.
func begin(name string, in Input) (f *format, head []byte, note string, err error) {
	if in.Size() <= 0 {
		return nil, nil, "", &Error{Problem: "the file is empty", Cure: cureAgain}
	}
	head = make([]byte, min(headSize, in.Size()))
	if err := readFull(in, head, 0); err != nil {
		return nil, nil, "", err
	}
	f, note, err = choose(name, head, in.Size())
	return f, head, note, err
}

// choose picks the format, and says so when the extension promised another one.
func choose(name string, head []byte, size int64) (*format, string, error) {
	named := byExtension(name)
	if named != nil && named.matches(head, size) {
		return named, "", nil
	}
	if err := refuse(head, size); err != nil {
		return nil, "", err
	}
	for i := range formats {
		if f := &formats[i]; f != named && f.matches(head, size) {
			if path.Ext(name) == "" {
				return f, "", nil // the name says nothing, as that of standard input
			}
			return f, fmt.Sprintf("the content is %s, whatever the name says", strings.ToUpper(f.kind)), nil
		}
	}
	if named == nil {
		return nil, "", &Error{
			Problem: "this is not a model in a format that can be read",
			Cure:    "use one of " + strings.Join(Extensions(), " ") + ", or a .zip of them",
		}
	}
	return named, "", nil // its reader says best what is missing
}

// readFull fills b from offset; a file that ends before its size is an error.
func readFull(in io.ReaderAt, b []byte, offset int64) error {
	n, err := in.ReadAt(b, offset)
	if n == len(b) {
		return nil
	}
	if err == nil || errors.Is(err, io.EOF) {
		return inFile("run the check again once nothing writes to it", "the file became shorter while it was read")
	}
	return fmt.Errorf("reading at byte %d: %w", offset+int64(n), err)
}

// SizedFile is an open file that knows its size.
type SizedFile struct {
	*os.File
	size int64
}

// Size is the length of the file in bytes when it was opened.
func (f *SizedFile) Size() int64 { return f.size }

// Open opens an ordinary file for Read; the caller closes it.
func Open(name string) (*SizedFile, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, err
	}
	// A pipe would block for ever and has no size to check claims against.
	if !info.Mode().IsRegular() {
		return nil, &Error{Problem: "this is not an ordinary file", Cure: "name a model file"}
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	return &SizedFile{File: f, size: info.Size()}, nil
}
