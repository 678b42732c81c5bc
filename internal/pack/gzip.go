package pack

import (
	"bufio"
	"compress/gzip"
	"encoding/binary"
	"errors"
	"io"
)

// IsGzip tells from the beginning of a file whether it is packed with gzip (RFC 1952,
// 2.3.1).
func IsGzip(head []byte) bool { return len(head) >= 2 && head[0] == 0x1f && head[1] == 0x8b }

// gzipLen is the least length of a file packed with gzip: header, an empty block, and
// checksum and size at the end.
const gzipLen = 18 + 2

// GzipSize returns what a file packed with gzip says it unpacks to, by its last four
// bytes, once that is held against the limits. Gunzip holds the file to it.
func GzipSize(in io.ReaderAt, size int64, limits Limits) (int64, error) {
	if size < gzipLen {
		return 0, problem(cureAgain, "the file is not whole: it is shorter than anything packed with gzip")
	}
	end := make([]byte, 4)
	if _, err := in.ReadAt(end, size-4); err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	n := int64(binary.LittleEndian.Uint32(end))
	if err := limits.allow("file", n, size); err != nil {
		return 0, err
	}
	return n, nil
}

// Gunzip unpacks a file packed with gzip, whole, to the claimed number of bytes that
// GzipSize returned. A file of several pieces, or with something behind its only one, is
// refused: programs differ in what they make of it.
func Gunzip(in io.ReaderAt, size, claimed int64) ([]byte, error) {
	packed := bufio.NewReader(io.NewSectionReader(in, 0, size))
	r, err := gzip.NewReader(packed)
	if err != nil {
		return nil, gzipDamage(err)
	}
	r.Multistream(false)
	b := make([]byte, claimed)
	if _, err := io.ReadFull(r, b); err != nil {
		return nil, gzipDamage(err)
	}
	// One byte more is too many; at the end the checksum is held against the bytes.
	switch n, err := r.Read(make([]byte, 1)); {
	case n > 0:
		return nil, gzipDamage(gzip.ErrHeader)
	case !errors.Is(err, io.EOF):
		return nil, gzipDamage(err)
	}
	if _, err := packed.ReadByte(); !errors.Is(err, io.EOF) {
		return nil, problem("unpack it and pack it again as one piece", "behind the packed file lies something else")
	}
	return b, nil
}

func gzipDamage(err error) error { return damaged(err, "file", "its end says") }
