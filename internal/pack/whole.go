package pack

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"

	"printlint/internal/pathname"
)

// The records of an archive and how long they are without what varies (APPNOTE 4.3.7,
// 4.3.9, 4.3.12, 4.3.14 to 4.3.16, from memory).
const (
	localLen, centralLen, endLen, end64Len, locatorLen = 30, 46, 22, 56, 20

	localMark, splitMark, singleMark = "PK\x03\x04", "PK\x07\x08", "PK00"
	endMark, end64Mark, locatorMark  = "PK\x05\x06", "PK\x06\x06", "PK\x06\x07"

	maxComment = 1<<16 - 1
)

// layout is where the parts of an archive lie.
type layout struct {
	in              io.ReaderAt
	size            int64
	directory       int64 // where it begins
	directorySize   int64
	directoryBehind int64 // where what follows it begins
	entries         uint64
}

// whole holds that every byte of an archive belongs to one entry of its directory, or to
// the directory itself, and that both say the same of each entry. Some programs go by
// the directory and some from the front; in an archive that keeps something from one of
// them, this program and the one that prints could see different models.
func whole(in io.ReaderAt, size int64, files []*zip.File) error {
	l := &layout{in: in, size: size}
	if err := l.end(); err != nil {
		return err
	}
	if l.directory < 0 || l.directorySize < 0 || l.directory > l.directoryBehind-l.directorySize {
		return problem(cureAgain, "the archive's directory is not where its end says")
	}
	length := int64(0)
	for _, f := range files {
		length += int64(centralLen + len(f.Name) + len(f.Extra) + len(f.Comment))
	}
	if l.entries != uint64(len(files)) || length != l.directorySize {
		return problem(cureAgain, "the archive's directory does not hold what its end says")
	}
	if behind := l.directory + l.directorySize; behind != l.directoryBehind {
		return l.unowned(behind)
	}
	return l.walk(files)
}

// misplaced is wrong with an entry whose bytes lie elsewhere.
const misplaced = "the entry's bytes are not where the archive's directory says"

func entryProblem(f *zip.File, what string) error {
	return problem(cureAgain, "%s: %s", quoted(pathname.Shown(f.Name)), what)
}

// unowned complains about bytes that nothing speaks for.
func (l *layout) unowned(at int64) error {
	return problem(cureAgain, "at byte %d of the archive lies something that its directory does not list, so that another program may find other models in it", at)
}

// read returns the bytes at a place.
func (l *layout) read(at, n int64) ([]byte, error) {
	if at < 0 || at > l.size-n {
		return nil, problem(cureAgain, "the archive is not whole: its records point past its end")
	}
	b := make([]byte, n)
	if _, err := l.in.ReadAt(b, at); err != nil && err != io.EOF {
		return nil, fmt.Errorf("reading the archive: %w", err)
	}
	return b, nil
}

// end reads the record at the end of the archive, and the large one before it if there
// is one.
func (l *layout) end() error {
	tail, err := l.read(l.size-min(l.size, endLen+maxComment), min(l.size, endLen+maxComment))
	if err != nil {
		return err
	}
	at := -1
	if len(tail) >= endLen {
		at = bytes.LastIndex(tail[:len(tail)-endLen+len(endMark)], []byte(endMark))
	}
	if at < 0 {
		return unreadable(zip.ErrFormat)
	}
	e := tail[at:]
	start := l.size - int64(len(e))
	if behind := endLen + int(binary.LittleEndian.Uint16(e[20:])); behind != len(e) {
		return l.unowned(start + int64(behind))
	}
	if binary.LittleEndian.Uint32(e[4:]) != 0 {
		return problem("join the parts into one archive", "the archive is one part of several")
	}
	l.entries = uint64(binary.LittleEndian.Uint16(e[10:]))
	l.directorySize = int64(binary.LittleEndian.Uint32(e[12:]))
	l.directory = int64(binary.LittleEndian.Uint32(e[16:]))
	l.directoryBehind = start
	if at >= locatorLen && string(tail[at-locatorLen:at-locatorLen+4]) == locatorMark {
		return l.end64(tail[at-locatorLen:at], start-locatorLen)
	}
	return nil
}

// end64 reads the record of a large archive. What the small one says must be the same,
// or that it is too large to be said there.
func (l *layout) end64(locator []byte, behind int64) error {
	at := int64(binary.LittleEndian.Uint64(locator[8:]))
	e, err := l.read(at, end64Len)
	if err != nil {
		return err
	}
	if string(e[:4]) != end64Mark || at+12+int64(binary.LittleEndian.Uint64(e[4:])) != behind {
		return l.unowned(at)
	}
	entries, size, start := binary.LittleEndian.Uint64(e[32:]), binary.LittleEndian.Uint64(e[40:]), binary.LittleEndian.Uint64(e[48:])
	if l.entries != entries && l.entries != 1<<16-1 || uint64(l.directorySize) != size && l.directorySize != 1<<32-1 ||
		uint64(l.directory) != start && l.directory != 1<<32-1 {
		return problem(cureAgain, "the archive has two ends that say different things")
	}
	l.entries, l.directorySize, l.directory, l.directoryBehind = entries, int64(size), int64(start), at
	return nil
}

// walk goes through the archive from the front, as a program does that reads it from a
// stream, and holds each entry against the directory.
func (l *layout) walk(files []*zip.File) error {
	byStart := make(map[int64]*zip.File, len(files))
	for _, f := range files {
		start, err := f.DataOffset()
		if err != nil {
			return entryProblem(f, misplaced)
		}
		if byStart[start] != nil {
			return problem(cureTrap, "entries of the archive lie over one another")
		}
		byStart[start] = f
	}
	at, err := l.first()
	for err == nil && at < l.directory {
		at, err = l.entry(at, byStart)
	}
	switch {
	case err != nil:
		return err
	case at != l.directory:
		return l.unowned(l.directory)
	}
	for _, f := range files {
		if start, _ := f.DataOffset(); byStart[start] != nil {
			return entryProblem(f, misplaced)
		}
	}
	return nil
}

// first is where the first entry may begin: archives that were to be split have a mark
// before it.
func (l *layout) first() (int64, error) {
	if l.directory < 4 {
		return 0, nil
	}
	mark, err := l.read(0, 4)
	if s := string(mark); s == splitMark || s == singleMark {
		return 4, err
	}
	return 0, err
}

// entry holds one entry against the directory, takes it out of the list, and returns
// where the next begins.
func (l *layout) entry(at int64, byStart map[int64]*zip.File) (next int64, err error) {
	h, err := l.read(at, localLen)
	if err != nil || string(h[:4]) != localMark {
		return 0, l.unowned(at)
	}
	nameLen, extraLen := int64(binary.LittleEndian.Uint16(h[26:])), int64(binary.LittleEndian.Uint16(h[28:]))
	rest, err := l.read(at+localLen, nameLen+extraLen)
	if err != nil {
		return 0, l.unowned(at)
	}
	start := at + localLen + nameLen + extraLen
	f := byStart[start]
	if f == nil {
		return 0, l.unowned(at)
	}
	delete(byStart, start)
	local := claims{
		crc:    binary.LittleEndian.Uint32(h[14:]),
		packed: uint64(binary.LittleEndian.Uint32(h[18:])), size: uint64(binary.LittleEndian.Uint32(h[22:])),
	}
	local.large(rest[nameLen:])
	flags, method := binary.LittleEndian.Uint16(h[6:]), binary.LittleEndian.Uint16(h[8:])
	listed := claims{f.CRC32, f.CompressedSize64, f.UncompressedSize64}
	streamed := flags&8 != 0
	if string(rest[:nameLen]) != f.Name || method != f.Method || flags&1 != f.Flags&1 ||
		local != listed && !(streamed && local.leaves(listed)) {
		return 0, entryProblem(f, "the archive's directory says something else of this entry than stands before its bytes")
	}
	behind := start + int64(f.CompressedSize64)
	if f.CompressedSize64 > uint64(l.size) || behind > l.directory {
		return 0, entryProblem(f, misplaced)
	}
	if !streamed {
		return behind, nil
	}
	n := l.descriptor(behind, listed)
	if n == 0 && local != listed {
		return 0, entryProblem(f, "what stands behind this entry is not what the archive's directory says")
	}
	return behind + n, nil
}

// claims is what is said of the bytes of an entry.
type claims struct {
	crc          uint32
	packed, size uint64
}

// leaves says that what stands before the bytes of an entry that was written as a stream
// is what is listed, or not said yet.
func (c claims) leaves(listed claims) bool {
	open := func(said, listed uint64) bool { return said == listed || said == 0 || said == 1<<32-1 }
	return open(uint64(c.crc), uint64(listed.crc)) && open(c.packed, listed.packed) && open(c.size, listed.size)
}

// large takes the sizes from the extra field of large entries where there was no room
// for them (APPNOTE 4.5.3, from memory).
func (c *claims) large(extra []byte) {
	const full = 1<<32 - 1
	for len(extra) >= 4 {
		id, n := binary.LittleEndian.Uint16(extra), int(binary.LittleEndian.Uint16(extra[2:]))
		if extra = extra[4:]; n > len(extra) {
			return
		}
		field := extra[:n]
		extra = extra[n:]
		if id != 1 {
			continue
		}
		for _, v := range []*uint64{&c.size, &c.packed} {
			if *v == full && len(field) >= 8 {
				*v, field = binary.LittleEndian.Uint64(field), field[8:]
			}
		}
		return
	}
}

// descriptor returns the length of what follows an entry that was written as a stream,
// 0 where that is not what is listed: its checksum and sizes of four or eight bytes,
// with or without a mark.
func (l *layout) descriptor(at int64, listed claims) int64 {
	for _, wide := range []bool{false, true} {
		want := binary.LittleEndian.AppendUint32(nil, listed.crc)
		for _, v := range []uint64{listed.packed, listed.size} {
			if wide {
				want = binary.LittleEndian.AppendUint64(want, v)
			} else {
				want = binary.LittleEndian.AppendUint32(want, uint32(v))
			}
		}
		for _, mark := range []string{splitMark, ""} {
			full := append([]byte(mark), want...)
			n := int64(len(full))
			if at > l.directory-n {
				continue
			}
			if b, err := l.read(at, n); err == nil && bytes.Equal(b, full) && l.boundary(at+n) {
				return n
			}
		}
	}
	return 0
}

// boundary reports whether an entry or the directory begins at a place.
func (l *layout) boundary(at int64) bool {
	if at == l.directory {
		return true
	}
	b, err := l.read(at, 4)
	return err == nil && string(b) == localMark
}
