package pack

import (
	"archive/tar"
	"bytes"
	"errors"
	"io"
	"path"
	"strings"
)

// IsTar tells from the beginning of a file whether it is a tar archive: its first header
// names the format (POSIX.1-1988 and GNU, magic at byte 257).
func IsTar(head []byte) bool { return len(head) >= 262 && string(head[257:262]) == "ustar" }

// TarHead is how many bytes IsTar needs.
const TarHead = 262

// tarBlock is what headers and the bytes of entries are filled up to, in bytes.
const tarBlock = 512

// OpenTar is Open for a tar archive. Its entries lie in it unpacked.
func OpenTar(in io.ReaderAt, size int64, limits Limits) (*Archive, error) {
	a := &Archive{limits: limits}
	section := io.NewSectionReader(in, 0, size)
	r := tar.NewReader(section)
	left, end := limits.Total, int64(0)
	for count := 1; ; count++ {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil && !errors.Is(err, tar.ErrInsecurePath) {
			return nil, problem(cureAgain, "the archive is not whole: what stands before entry %d cannot be read", count)
		}
		if count > limits.Entries {
			return nil, problem(cureSmall, "the archive has more than %d entries, the most that is read", limits.Entries)
		}
		start, _ := section.Seek(0, io.SeekCurrent)
		if h.Size < 0 || start > size-h.Size {
			return nil, problem(cureAgain, "the archive is not whole: it ends within entry %d", count)
		}
		end = start + (h.Size+tarBlock-1)/tarBlock*tarBlock
		if left -= h.Size; left < 0 {
			return nil, tooLarge("archive", limits.Total)
		}
		if e := newTarEntry(h, in, start, limits); !e.folder {
			a.Entries = append(a.Entries, e)
		}
	}
	if size < end+2*tarBlock {
		return nil, problem(cureAgain, "the archive is not whole: the two empty blocks at its end are missing")
	}
	if err := behindTar(section); err != nil {
		return nil, err
	}
	if err := a.same(); err != nil {
		return nil, err
	}
	return a, nil
}

// newTarEntry holds what a header says against the limits.
func newTarEntry(h *tar.Header, in io.ReaderAt, start int64, limits Limits) Entry {
	name := nameShown(h.Name)
	e := Entry{Name: name, Size: h.Size, in: in, start: start, packed: h.Size, folder: h.Typeflag == tar.TypeDir || h.Typeflag == tar.TypeXGlobalHeader}
	if e.folder && strings.Trim(name, "./") == "" {
		return e // the folder that was packed
	}
	if err := nameProblem(name); err != nil {
		e.Err, e.Unsafe, e.folder = err, true, false
		return e
	}
	e.Name = path.Clean(name)
	sparse := h.Typeflag == tar.TypeGNUSparse
	for key := range h.PAXRecords {
		sparse = sparse || strings.HasPrefix(key, "GNU.sparse.")
	}
	switch {
	case h.Typeflag == tar.TypeSymlink || h.Typeflag == tar.TypeLink:
		e.Err = problem("put the file itself into the archive", "a link, which is not followed out of an archive")
	case e.folder:
	case sparse || h.Typeflag != tar.TypeReg:
		e.Err = problem("put an ordinary file into the archive", "not an ordinary file")
	default:
		e.Err = limits.allow("entry", e.Size, e.Size)
	}
	return e
}

// behindTar holds that nothing but zeros follows the end of an archive: some programs
// read on there.
func behindTar(section *io.SectionReader) error {
	b := make([]byte, 64<<10)
	zero := make([]byte, len(b))
	for {
		at, _ := section.Seek(0, io.SeekCurrent)
		n, err := section.Read(b)
		if !bytes.Equal(b[:n], zero[:n]) {
			return problem(cureAgain, "behind byte %d, where the archive ends, lies something else, so that another program may find other models in it", at)
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}
