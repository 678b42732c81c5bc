package pack

import (
	"archive/zip"
	"compress/flate"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"printlint/internal/pathname"
)

// Entry is one file of an archive.
type Entry struct {
	// Name is its path with slashes, cleaned where it is a good one.
	Name string
	// Size is the number of bytes it unpacks to.
	Size int64
	// Err is why it cannot be read, nil when it can.
	Err error
	// Unsafe is true when unpacking it would write outside the folder: an archive with
	// such an entry was made to do harm.
	Unsafe bool

	file   *zip.File   // nil where the bytes lie in the archive as they are
	in     io.ReaderAt // then the archive
	folder bool
	start  int64 // of its bytes in the archive, 0 where that is not known
	packed int64
}

// methods names the ways of packing that are not read.
var methods = map[uint16]string{9: "deflate64", 12: "bzip2", 14: "LZMA", 93: "Zstandard", 95: "XZ", 98: "PPMd", 99: "AES encryption"}

func newEntry(f *zip.File, archive int64, limits Limits) Entry {
	e := Entry{Name: nameOf(f), Size: int64(f.UncompressedSize64), packed: int64(f.CompressedSize64), file: f}
	e.folder = strings.HasSuffix(e.Name, "/") && f.UncompressedSize64 == 0
	if err := nameProblem(e.Name); err != nil {
		e.Err, e.Unsafe, e.folder = err, true, false
		return e
	}
	e.Name = path.Clean(e.Name)
	if f.Mode()&fs.ModeSymlink != 0 {
		e.Err = problem("put the file itself into the archive", "a symbolic link, which is not followed out of an archive")
		return e
	}
	e.Err = e.claims(archive, limits)
	return e
}

// claims holds what the directory says of an entry against the archive and the limits.
func (e *Entry) claims(archive int64, limits Limits) error {
	f := e.file
	if !f.Mode().IsRegular() && !f.Mode().IsDir() {
		return problem("put an ordinary file into the archive", "not an ordinary file")
	}
	if f.Flags&1 != 0 || f.Method == 99 {
		return problem("unpack it with its password and check what is in it", "the entry is encrypted")
	}
	if f.Method != zip.Store && f.Method != zip.Deflate {
		how := methods[f.Method]
		if how == "" {
			how = fmt.Sprintf("method %d", f.Method)
		}
		return problem("make the archive again with deflate, the usual method", "the entry is packed by %s", how)
	}
	start, err := f.DataOffset()
	if err != nil || f.CompressedSize64 > uint64(archive) || start > archive-e.packed {
		return problem(cureAgain, misplaced)
	}
	e.start = start
	if err := limits.allow("entry", e.Size, e.packed); err != nil {
		return err
	}
	if f.Method == zip.Store && e.packed != e.Size {
		return problem(cureAgain, "the entry is stored unpacked, but with two sizes")
	}
	return nil
}

// nameOf returns the name in UTF-8 and with slashes. Where the archive does not say that it is UTF-8, and it is not, it is in code page 437
// (APPNOTE D.1, from memory), in which every byte is a letter.
func nameOf(f *zip.File) string {
	name := f.Name
	if !utf8.ValidString(name) {
		if s, err := charmap.CodePage437.NewDecoder().String(name); err == nil && f.NonUTF8 {
			name = s
		}
	}
	return nameShown(name)
}

// nameShown writes a name with slashes, as some programs write backslashes, and as reports
// do, so that bytes that are no letters do not make two names one.
func nameShown(name string) string { return pathname.Shown(strings.ReplaceAll(name, `\`, "/")) }

// nameProblem says why a name would leave the folder that an archive is unpacked in, on
// any system: some have drives.
func nameProblem(name string) error {
	why := ""
	switch {
	case strings.Trim(name, "/.") == "":
		why = "is no name"
	case strings.ContainsRune(name, 0):
		why = "holds a zero byte"
	case name[0] == '/':
		why = "is absolute: it would be written outside the folder"
	case len(name) > 1 && name[1] == ':' && name[0]|0x20 >= 'a' && name[0]|0x20 <= 'z':
		why = "names a drive: it would be written outside the folder"
	case slices.Contains(strings.Split(name, "/"), ".."):
		why = "climbs out of the folder that it is unpacked in"
	default:
		return nil
	}
	return problem(cureTrap, "the entry's name %s", why)
}

// Open unpacks the entry as it is read.
func (e *Entry) Open() (io.ReadCloser, error) {
	if e.Err != nil {
		return nil, e.Err
	}
	if e.file == nil {
		return io.NopCloser(io.NewSectionReader(e.in, e.start, e.Size)), nil
	}
	r, err := e.file.Open()
	if err != nil {
		return nil, damagedEntry(err)
	}
	return &stream{r}, nil
}

// Bytes unpacks the whole entry.
func (e *Entry) Bytes() ([]byte, error) {
	r, err := e.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	b := make([]byte, e.Size)
	if _, err := io.ReadFull(r, b); err != nil {
		return nil, err
	}
	// The checksum is held against the bytes at the end of the stream.
	if _, err := io.Copy(io.Discard, r); err != nil {
		return nil, err
	}
	return b, nil
}

// Stored returns the entry's bytes where they lie unpacked in the archive, so that
// an archive inside one need not be copied; false where they are packed.
func (e *Entry) Stored(in io.ReaderAt) (*io.SectionReader, bool) {
	if e.Err != nil || e.file != nil && e.file.Method != zip.Store {
		return nil, false
	}
	return io.NewSectionReader(in, e.start, e.Size), true
}

// stream words what goes wrong while unpacking.
type stream struct{ io.ReadCloser }

// Read unpacks on.
func (s *stream) Read(b []byte) (int, error) {
	n, err := s.ReadCloser.Read(b)
	if err != nil && err != io.EOF {
		err = damagedEntry(err)
	}
	return n, err
}

func damagedEntry(err error) error { return damaged(err, "entry", "the archive's directory says") }

// damaged words what goes wrong while something is unpacked that claims a size.
func damaged(err error, what, claim string) error {
	var corrupt flate.CorruptInputError
	switch {
	case errors.Is(err, zip.ErrChecksum), errors.Is(err, gzip.ErrChecksum):
		return problem(cureAgain, "the %s is damaged: its checksum is wrong", what)
	case errors.Is(err, zip.ErrFormat), errors.Is(err, gzip.ErrHeader), errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.As(err, &corrupt):
		return problem(cureAgain, "the %s is damaged: it does not unpack to what %s", what, claim)
	}
	return err
}
