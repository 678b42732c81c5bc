package pack

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stored makes an archive whose entries are not streamed: what stands before their bytes
// is whole.
func stored(t testing.TB, names ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, n := range names {
		e, err := w.CreateRaw(&zip.FileHeader{Name: n, Method: zip.Store, CompressedSize64: 4, UncompressedSize64: 4, CRC32: 0xed82cd11})
		require.NoError(t, err)
		_, err = io.WriteString(e, "abcd")
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// shifted is an archive with something put in at a place, and every offset behind it moved,
// so that the directory is right.
func shifted(t testing.TB, b []byte, at int, what string) []byte {
	t.Helper()
	out := append(append(bytes.Clone(b[:at]), what...), b[at:]...)
	move := func(field int) {
		if v := binary.LittleEndian.Uint32(out[field:]); int(v) >= at {
			binary.LittleEndian.PutUint32(out[field:], v+uint32(len(what)))
		}
	}
	end := bytes.LastIndex(out, []byte(endMark))
	require.Positive(t, end)
	move(end + 16)
	for d := int(binary.LittleEndian.Uint32(out[end+16:])); string(out[d:d+4]) == "PK\x01\x02"; {
		move(d + 42)
		d += centralLen + int(binary.LittleEndian.Uint16(out[d+28:])) + int(binary.LittleEndian.Uint16(out[d+30:])) + int(binary.LittleEndian.Uint16(out[d+32:]))
	}
	return out
}

const unowned = "lies something that its directory does not list"

// TestBytesThatNobodyOwns hides something in an archive at every place where a program may
// find it and another not.
func TestBytesThatNobodyOwns(t *testing.T) {
	for _, plain := range [][]byte{stored(t, "a.stl", "b.stl"), write(t, file{name: "a.stl", data: "some text"}, file{name: "b.stl", data: "more"})} {
		_, err := open(plain)
		require.NoError(t, err)
		second := bytes.LastIndex(plain, []byte(localMark))
		directory := bytes.Index(plain, []byte("PK\x01\x02"))
		end := bytes.LastIndex(plain, []byte(endMark))
		other := string(stored(t, "hidden.stl"))
		entry := other[:localLen+len("hidden.stl")+4]
		for name, b := range map[string][]byte{
			"before":                     shifted(t, plain, 0, "#!/bin/sh\n"),
			"before, offsets as before":  append([]byte("some bytes"), plain...),
			"between":                    shifted(t, plain, second, "some bytes"),
			"before the directory":       shifted(t, plain, directory, "some bytes"),
			"behind the directory":       append(append(bytes.Clone(plain[:end]), "some bytes"...), plain[end:]...),
			"behind":                     append(bytes.Clone(plain), "some bytes"...),
			"an entry between":           shifted(t, plain, second, entry),
			"an entry in front":          shifted(t, plain, 0, entry),
			"an entry at the end":        shifted(t, plain, directory, entry),
			"an archive in front":        append([]byte(other), plain...),
			"an archive in front, moved": shifted(t, plain, 0, other),
			"an archive behind":          append(bytes.Clone(plain), other...),
		} {
			_, err := open(b)
			assert.Error(t, err, name)
			if err != nil {
				assert.Regexp(t, unowned+"|does not hold what its end says|not where its end says|not where the archive's directory says|stands behind this entry is not what", err.Error(), name)
			}
		}
	}
}

// TestArchiveInAComment holds that no second end hides in the comment of the first.
func TestArchiveInAComment(t *testing.T) {
	first, second := stored(t, "a.stl"), stored(t, "b.stl")
	end := bytes.LastIndex(first, []byte(endMark))
	commented := append(bytes.Clone(first), "a comment"...)
	binary.LittleEndian.PutUint16(commented[end+20:], 9)
	_, err := open(commented)
	require.NoError(t, err)
	double := append(bytes.Clone(first), second...)
	binary.LittleEndian.PutUint16(double[end+20:], uint16(len(second)))
	_, err = open(double)
	assert.Error(t, err)
	binary.LittleEndian.PutUint16(commented[end+20:], 5)
	_, err = open(commented)
	assert.ErrorContains(t, err, unowned)
}

// TestTwoHeadersOfOneEntry changes each field of what stands before an entry's bytes.
func TestTwoHeadersOfOneEntry(t *testing.T) {
	const says = "the archive's directory says something else of this entry than stands before its bytes"
	for field, at := range map[string]int{"method": 8, "checksum": 14, "packed size": 18, "size": 22, "name": localLen} {
		b := stored(t, "a.stl", "b.stl")
		b[at]++
		_, err := open(b)
		assert.ErrorContains(t, err, says, field)
	}
	b := stored(t, "a.stl")
	b[6] |= 1
	_, err := open(b)
	assert.ErrorContains(t, err, says, "encrypted")
	b = stored(t, "a.stl")
	b[10] ^= 0xff
	_, err = open(b)
	assert.NoError(t, err, "times do not matter")
	b = write(t, file{name: "a.stl", data: "some text"})
	at := bytes.Index(b, []byte(splitMark))
	for i := 4; i < 16; i++ {
		b[at+i]++
		_, err = open(b)
		assert.ErrorContains(t, err, "what stands behind this entry is not what", i)
		b[at+i]--
	}
}

// TestDirectoriesThatLie changes what the end says of the directory.
func TestDirectoriesThatLie(t *testing.T) {
	plain := stored(t, "a.stl", "b.stl")
	end := bytes.LastIndex(plain, []byte(endMark))
	for _, field := range []int{4, 8, 10, 12, 16} {
		b := bytes.Clone(plain)
		b[end+field]++
		_, err := open(b)
		if field != 8 { // how many entries are on this disk: nobody goes by it
			assert.Error(t, err, field)
		}
	}
	// One entry fewer: the second is still there for whoever reads from the front.
	b := bytes.Clone(plain)
	directory := bytes.Index(b, []byte("PK\x01\x02"))
	second := bytes.LastIndex(b, []byte("PK\x01\x02"))
	b = append(b[:second], b[end:]...)
	end = bytes.LastIndex(b, []byte(endMark))
	binary.LittleEndian.PutUint16(b[end+8:], 1)
	binary.LittleEndian.PutUint16(b[end+10:], 1)
	binary.LittleEndian.PutUint32(b[end+12:], uint32(second-directory))
	_, err := open(b)
	assert.ErrorContains(t, err, unowned)
}
