// Package pack opens zip archives that strangers made: packs of models, and the
// containers that some formats keep their parts in.
//
// The directory of an archive is a list of claims. All of it is checked before one
// byte is unpacked: how many entries there are, how large they say they are and how
// much larger than what is stored, whether they lie over one another, what they are
// called. Nothing is ever written to disk under a name from an archive. While an entry
// is unpacked it is held to its claims, so what it costs is known beforehand.
//
// What is wrong with the archive as a whole is an error of Open; what is wrong with one
// entry is told with that entry, so that the others can still be read. An archive that two
// programs may read differently is wrong as a whole.
package pack

import (
	"archive/zip"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"printlint/internal/pathname"
)

// Limits bound what an archive may ask for.
type Limits struct {
	// Entries is the most entries.
	Entries int
	// Size is the most bytes that one entry may unpack to, Total the most that all may.
	Size, Total int64
	// Ratio is how many times larger than what is stored an entry of more than
	// ratioFrom bytes may be.
	Ratio int64
	// Depth is how many archives may lie inside one another.
	Depth int
}

// Standard is far above what collections hold: a mesh of ten million triangles is 0.8 GB of
// text, and text of meshes is packed 5 to 40 times smaller, while a trap reaches 1032
// ("zlib Technical Details", from memory); where to draw the line between is judgement.
var Standard = Limits{Entries: 10_000, Size: 1 << 30, Total: 4 << 30, Ratio: 200, Depth: 3}

// ratioFrom, in bytes, lets small files be as regular as they like (judgement).
const ratioFrom = 1 << 20

// allow holds what something claims to unpack to against the limits.
func (l Limits) allow(what string, size, packed int64) error {
	if size > l.Size {
		return tooLarge(what, l.Size)
	}
	if size > ratioFrom && size/l.Ratio >= packed {
		return problem(cureTrap, "the %s unpacks to more than %d times what is stored", what, l.Ratio)
	}
	return nil
}

func tooLarge(what string, most int64) error {
	return problem(cureTrap, "the %s unpacks to more than %s, the most that is read", what, bytesWords(most))
}

// maxDirectory bounds the bytes of a directory, because it is read before its entries
// can be counted: 800 bytes for each of ten thousand (judgement).
const maxDirectory = 8 << 20

// Error says what is wrong with an archive or entry, and what cures it.
type Error struct{ Problem, Cure string }

// Error returns the problem and the cure in one line.
func (e *Error) Error() string {
	if e.Cure == "" {
		return e.Problem
	}
	return e.Problem + "; " + e.Cure
}

// The cures that several problems share.
const (
	cureAgain = "make or download the archive again"
	cureTrap  = "do not unpack it; ask its maker for a plain archive"
	cureSmall = "split it into smaller archives"
)

func problem(cure, format string, args ...any) *Error {
	return &Error{Problem: fmt.Sprintf(format, args...), Cure: cure}
}

// Archive is an open zip archive.
type Archive struct {
	// Entries are its files, in the order of the directory; folders are left out.
	Entries []Entry
	limits  Limits
}

// IsZip tells from the beginning of a file whether it is a zip archive: that of an
// entry, of an empty archive, or of one that was to be split (APPNOTE 4.3.7, 4.3.16 and
// 8.5.3, from memory).
func IsZip(head []byte) bool {
	return len(head) >= 4 && head[0] == 'P' && head[1] == 'K' &&
		(head[2] == 3 && head[3] == 4 || head[2] == 5 && head[3] == 6 || head[2] == 7 && head[3] == 8)
}

// Open reads and checks the directory of an archive of size bytes. The archive reads
// from in for as long as its entries are used.
func Open(in io.ReaderAt, size int64, limits Limits) (*Archive, error) {
	budget := &boundedReader{in: in, left: maxDirectory}
	z, err := zip.NewReader(budget, size)
	if budget.left < 0 {
		return nil, problem(cureSmall, "the archive's directory is larger than %d MB", maxDirectory>>20)
	}
	if err != nil {
		return nil, unreadable(err)
	}
	budget.over = true
	if len(z.File) > limits.Entries {
		return nil, problem(cureSmall, "the archive has %d entries, the most that is read is %d", len(z.File), limits.Entries)
	}
	a := &Archive{limits: limits}
	if err := a.total(z.File); err != nil {
		return nil, err
	}
	for _, f := range z.File {
		if e := newEntry(f, size, limits); !e.folder {
			a.Entries = append(a.Entries, e)
		}
	}
	for _, check := range []func() error{a.same, a.overlap, func() error { return whole(in, size, z.File) }} {
		if err := check(); err != nil {
			return nil, err
		}
	}
	return a, nil
}

func unreadable(err error) error {
	if errors.Is(err, zip.ErrFormat) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return problem(cureAgain, "the archive is not whole: its directory, which stands at the end, cannot be read")
	}
	return fmt.Errorf("reading the archive's directory: %w", err)
}

// total holds the sum of all claims against the limit.
func (a *Archive) total(files []*zip.File) error {
	left := a.limits.Total
	for _, f := range files {
		if f.UncompressedSize64 > uint64(left) {
			return tooLarge("archive", a.limits.Total)
		}
		left -= int64(f.UncompressedSize64)
	}
	return nil
}

// same refuses archives with entries that would overwrite one another: which of them a
// program finds under that name is anybody's guess. On many systems names that differ
// only in their case, or in how a letter with an accent is written, are the same.
func (a *Archive) same() error {
	seen := map[string]string{}
	for i := range a.Entries {
		name := a.Entries[i].Name
		key := strings.ToLower(strings.ToUpper(norm.NFC.String(name)))
		first, found := seen[key]
		switch {
		case !found:
			seen[key] = name
		case first == name:
			return problem("leave one of them", "the archive holds several entries of the name %s", quoted(name))
		default:
			return problem("rename one of them", "the archive holds %s and %s, which are one file on many systems", quoted(first), quoted(name))
		}
	}
	return nil
}

// overlap refuses archives in which the bytes of one entry serve another as well: a
// small file then unpacks without end (D. Fifield, "A better zip bomb", 2019, citation
// from memory).
func (a *Archive) overlap() error {
	used := make([]*Entry, 0, len(a.Entries))
	for i := range a.Entries {
		if e := &a.Entries[i]; e.packed > 0 && e.start > 0 {
			used = append(used, e)
		}
	}
	slices.SortStableFunc(used, func(x, y *Entry) int { return cmp.Compare(x.start, y.start) })
	for i := 1; i < len(used); i++ {
		if used[i].start < used[i-1].start+used[i-1].packed {
			return problem(cureTrap, "entries of the archive lie over one another")
		}
	}
	return nil
}

// boundedReader reads until its budget is spent, or, once that is over, without one: then
// entries are read from many sides.
type boundedReader struct {
	in   io.ReaderAt
	left int64
	over bool
}

// ReadAt reads from the archive.
func (b *boundedReader) ReadAt(p []byte, offset int64) (int, error) {
	if !b.over {
		if b.left -= int64(len(p)); b.left < 0 {
			return 0, io.ErrUnexpectedEOF
		}
	}
	return b.in.ReadAt(p, offset)
}

// quoted writes a name from an archive into a message.
func quoted(name string) string { return pathname.Quoted(name, 100) }

// bytesWords writes a size for people.
func bytesWords(n int64) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d bytes", n)
}
