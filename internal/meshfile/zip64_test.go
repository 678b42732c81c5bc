package meshfile

import (
	"encoding/binary"
	"hash/crc32"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// writeZip64 stores files as large archives are stored, with every size and place in 64
// bits (APPNOTE 4.3.14, 4.3.15 and 4.5.3, from memory).
func writeZip64(files ...entry) []byte {
	var out, directory []byte
	le := binary.LittleEndian
	const all = 0xffffffff
	for _, f := range files {
		at, size := uint64(len(out)), uint64(len(f.data))
		header := func(signature string, versions ...uint16) []byte {
			b := []byte(signature)
			for _, v := range versions {
				b = le.AppendUint16(b, v)
			}
			b = append(b, 0, 0, 0, 0, 0, 0, 0, 0) // flags, stored, time, day
			b = le.AppendUint32(b, crc32.ChecksumIEEE([]byte(f.data)))
			b = le.AppendUint32(le.AppendUint32(b, all), all)
			return le.AppendUint16(b, uint16(len(f.name)))
		}
		extra := func(values ...uint64) (b []byte) {
			b = le.AppendUint16(le.AppendUint16(b, 1), uint16(8*len(values)))
			for _, v := range values {
				b = le.AppendUint64(b, v)
			}
			return b
		}
		local := extra(size, size)
		out = append(out, header("PK\x03\x04", 45)...)
		out = le.AppendUint16(out, uint16(len(local)))
		out = append(append(append(out, f.name...), local...), f.data...)

		central := extra(size, size, at)
		directory = append(directory, header("PK\x01\x02", 45, 45)...)
		directory = le.AppendUint16(directory, uint16(len(central)))
		directory = append(directory, make([]byte, 10)...) // comment, disk, attributes
		directory = le.AppendUint32(directory, all)
		directory = append(append(directory, f.name...), central...)
	}
	start, count := uint64(len(out)), uint64(len(files))
	out = append(out, directory...)
	end := uint64(len(out))
	out = le.AppendUint64(append(out, "PK\x06\x06"...), 44)
	out = append(out, 45, 0, 45, 0, 0, 0, 0, 0, 0, 0, 0, 0)
	for _, v := range []uint64{count, count, uint64(len(directory)), start} {
		out = le.AppendUint64(out, v)
	}
	out = le.AppendUint64(append(out, "PK\x06\x07\x00\x00\x00\x00"...), end)
	out = le.AppendUint32(out, 1)
	out = append(out, "PK\x05\x06\x00\x00\x00\x00\xff\xff\xff\xff"...)
	return append(le.AppendUint32(le.AppendUint32(out, all), all), 0, 0)
}

// TestZip64 holds that containers in the form for large archives are read, and that their
// claims are held against the file like any other's.
func TestZip64(t *testing.T) {
	model := model3MF(object3MF(1, "", tetra), item1)
	files := []entry{{"[Content_Types].xml", types3MF}, {"_rels/.rels", relations("/3D/3dmodel.model")}, {"3D/3dmodel.model", model}}
	p := readOne(t, "a.3mf", string(writeZip64(files...)))
	assert.Equal(t, tetra, p.Triangles.Corners)
	p = readOne(t, "a.amf", string(writeZip64(entry{"a.amf", amfText(tetra)})))
	assert.Equal(t, tetra, p.Triangles.Corners)

	good := string(writeZip64(files...))
	size := string(binary.LittleEndian.AppendUint64(nil, uint64(len(model))))
	huge := string(binary.LittleEndian.AppendUint64(nil, 1<<40))
	parts, err := readLazily("a.3mf", []byte(strings.ReplaceAll(good, size, huge)))
	if err == nil {
		err = parts[0].Load()
	}
	assert.ErrorContains(t, err, "the archive unpacks to more than")
	checkError(t, err)
	for n := range good {
		_, err := read("a.3mf", []byte(good[:n]))
		assert.Error(t, err, "cut after %d bytes", n)
	}
}
