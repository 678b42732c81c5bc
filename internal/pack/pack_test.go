package pack

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// file is an entry to be written.
type file struct {
	name, data string
	header     zip.FileHeader
}

// write makes an archive; sizes and sums of a raw entry are those of its header.
func write(t testing.TB, files ...file) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		h := f.header
		h.Name = f.name
		if h.Method == zip.Store {
			h.Method = zip.Deflate
		}
		e, err := w.CreateHeader(&h)
		require.NoError(t, err)
		if !strings.HasSuffix(f.name, "/") {
			_, err = io.WriteString(e, f.data)
			require.NoError(t, err)
		}
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// raw makes an archive of one entry whose header says anything.
func raw(t testing.TB, h zip.FileHeader, data string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	h.Name = "a.stl"
	h.CompressedSize64 = uint64(len(data))
	e, err := w.CreateRaw(&h)
	require.NoError(t, err)
	_, err = io.WriteString(e, data)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}

func open(b []byte) (*Archive, error) { return openWith(b, Standard) }

func openWith(b []byte, limits Limits) (*Archive, error) {
	return Open(bytes.NewReader(b), int64(len(b)), limits)
}

// only opens an archive of one entry.
func only(t testing.TB, b []byte) *Entry {
	t.Helper()
	a, err := open(b)
	require.NoError(t, err)
	require.Len(t, a.Entries, 1)
	return &a.Entries[0]
}

func TestReadsWhatWasPacked(t *testing.T) {
	b := write(t, file{name: "a.stl", data: "one"}, file{name: "dir/"}, file{name: "dir/ö ü.stl", data: strings.Repeat("two", 5000)},
		file{name: `win\dows.stl`, data: "three"}, file{name: "./b//c.stl", data: ""})
	a, err := open(b)
	require.NoError(t, err)
	var names []string
	for i := range a.Entries {
		e := &a.Entries[i]
		names = append(names, e.Name)
		data, err := e.Bytes()
		require.NoError(t, err, e.Name)
		assert.Len(t, data, int(e.Size))
	}
	assert.Equal(t, []string{"a.stl", "dir/ö ü.stl", "win/dows.stl", "b/c.stl"}, names, "folders are left out, names cleaned")
}

func TestStoredEntriesNeedNoCopy(t *testing.T) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	e, err := w.CreateHeader(&zip.FileHeader{Name: "inner.zip", Method: zip.Store})
	require.NoError(t, err)
	_, err = io.WriteString(e, "as it is")
	require.NoError(t, err)
	require.NoError(t, w.Close())
	in := bytes.NewReader(b.Bytes())
	s, ok := only(t, b.Bytes()).Stored(in)
	require.True(t, ok)
	data, err := io.ReadAll(s)
	require.NoError(t, err)
	assert.Equal(t, "as it is", string(data))
	_, ok = only(t, write(t, file{name: "a", data: "packed"})).Stored(in)
	assert.False(t, ok)
}

func TestNamesThatLeaveTheFolder(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"../a.stl", "climbs out"},
		{"a/../../b.stl", "climbs out"},
		{`..\a.stl`, "climbs out"},
		{`a\..\b.stl`, "climbs out"},
		{"a/..", "climbs out"},
		{"../", "is no name"},
		{"/a.stl", "is absolute"},
		{`\\server\a.stl`, "is absolute"},
		{"C:/a.stl", "names a drive"},
		{`c:a.stl`, "names a drive"},
		{"..", "is no name"},
		{".", "is no name"},
		{"", "is no name"},
		{"a\x00.stl", "holds a zero byte"},
	} {
		e := only(t, write(t, file{name: c.name, data: "x"}))
		require.ErrorContains(t, e.Err, "the entry's name "+c.want, "%q", c.name)
		assert.True(t, e.Unsafe)
		_, err := e.Bytes()
		assert.Equal(t, e.Err, err)
	}
	for _, name := range []string{"..a.stl", "a..stl", "a/..b/c.stl", "...stl", "1:2 scale.stl", "ab:c.stl", "a\nb.stl"} {
		assert.NoError(t, only(t, write(t, file{name: name, data: "x"})).Err, "%q", name)
	}
}

// TestOldNames holds that names from before UTF-8 stay apart.
func TestOldNames(t *testing.T) {
	b := write(t, file{name: "\x99se.stl", data: "x", header: zip.FileHeader{NonUTF8: true}},
		file{name: "\x8ese.stl", data: "x", header: zip.FileHeader{NonUTF8: true}})
	a, err := open(b)
	require.NoError(t, err)
	assert.Equal(t, "Öse.stl", a.Entries[0].Name)
	assert.Equal(t, "Äse.stl", a.Entries[1].Name)
}

func TestEntriesThatCannotBeRead(t *testing.T) {
	symlink := zip.FileHeader{}
	symlink.SetMode(fs.ModeSymlink | 0o777)
	device := zip.FileHeader{}
	device.SetMode(fs.ModeDevice | 0o666)
	for _, c := range []struct {
		name string
		b    []byte
		want string
	}{
		{"link", write(t, file{name: "a.stl", data: "/etc/passwd", header: symlink}), "a symbolic link"},
		{"device", write(t, file{name: "a.stl", header: device}), "not an ordinary file"},
		{"encrypted", raw(t, zip.FileHeader{Method: zip.Deflate, Flags: 1, UncompressedSize64: 4}, "abcd"), "the entry is encrypted"},
		{"newer encryption", raw(t, zip.FileHeader{Method: 99, UncompressedSize64: 4}, "abcd"), "the entry is encrypted"},
		{"bzip2", raw(t, zip.FileHeader{Method: 12, UncompressedSize64: 4}, "abcd"), "packed by bzip2"},
		{"unknown", raw(t, zip.FileHeader{Method: 77, UncompressedSize64: 4}, "abcd"), "packed by method 77"},
		{"two sizes", raw(t, zip.FileHeader{Method: zip.Store, UncompressedSize64: 5}, "abcd"), "with two sizes"},
		{"too large", raw(t, zip.FileHeader{Method: zip.Deflate, UncompressedSize64: 2 << 30}, "abcd"), "more than 1024 MB"},
		{"too dense", raw(t, zip.FileHeader{Method: zip.Deflate, UncompressedSize64: 2 << 20}, "abcd"), "more than 200 times"},
	} {
		e := only(t, c.b)
		assert.ErrorContains(t, e.Err, c.want, c.name)
		assert.False(t, e.Unsafe, c.name)
		_, err := e.Open()
		assert.Equal(t, e.Err, err, c.name)
	}
}

// TestEntriesThatLie holds entries to their claims while they are unpacked.
func TestEntriesThatLie(t *testing.T) {
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	e, err := z.CreateHeader(&zip.FileHeader{Name: "a", Method: zip.Deflate})
	require.NoError(t, err)
	_, err = io.WriteString(e, strings.Repeat("solid ", 50_000))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	r, err := zip.NewReader(bytes.NewReader(packed.Bytes()), int64(packed.Len()))
	require.NoError(t, err)
	in, err := r.File[0].OpenRaw()
	require.NoError(t, err)
	data, err := io.ReadAll(in)
	require.NoError(t, err)
	sum := r.File[0].CRC32
	for _, c := range []struct {
		name string
		h    zip.FileHeader
		data []byte
		want string
	}{
		{"more than it says", zip.FileHeader{UncompressedSize64: 100, CRC32: sum}, data, "does not unpack to what"},
		{"less than it says", zip.FileHeader{UncompressedSize64: 300_001, CRC32: sum}, data, "does not unpack to what"},
		{"another sum", zip.FileHeader{UncompressedSize64: 300_000, CRC32: sum + 1}, data, "its checksum is wrong"},
		{"cut", zip.FileHeader{UncompressedSize64: 300_000, CRC32: sum}, data[:len(data)/2], "does not unpack to what"},
		{"noise", zip.FileHeader{UncompressedSize64: 300_000, CRC32: sum}, bytes.Repeat([]byte{0xff}, len(data)), "does not unpack to what"},
	} {
		c.h.Method = zip.Deflate
		_, err := only(t, raw(t, c.h, string(c.data))).Bytes()
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

// TestSameNames holds that an archive in which one name could mean two things is refused.
func TestSameNames(t *testing.T) {
	for _, c := range []struct{ first, second, want string }{
		{"a.stl", "a.stl", `several entries of the name "a.stl"; leave one of them`}, {"a.stl", "./a.stl", `several entries of the name "a.stl"`},
		{"b/a.stl", `b\a.stl`, `several entries of the name "b/a.stl"`}, {"a.stl", "A.STL", `"a.stl" and "A.STL", which are one file on many systems; rename one of them`},
		{"\u00e9.stl", "e\u0301.stl", "which are one file on many systems"}, {"stra\u017fe.stl", "STRASE.stl", "which are one file on many systems"},
		{"readme.txt", "README.txt", "which are one file on many systems"},
	} {
		_, err := open(write(t, file{name: c.first, data: "1"}, file{name: "between.stl"}, file{name: c.second, data: "2"}))
		assert.ErrorContains(t, err, c.want)
	}
	a, err := open(write(t, file{name: "bad\xff.stl", data: "1"}, file{name: "bad\xfe.stl", data: "2"}, file{name: "plate.3mf!/x.stl"}))
	require.NoError(t, err, "bytes that are no letters do not make two names one")
	assert.NotEqual(t, a.Entries[0].Name, a.Entries[1].Name)
	assert.Equal(t, `plate.3mf\x21/x.stl`, a.Entries[2].Name)
}

func TestLimitsOfTheWhole(t *testing.T) {
	var files []file
	for i := range 20 {
		files = append(files, file{name: fmt.Sprint(i), data: strings.Repeat("x", 1000)})
	}
	b := write(t, files...)
	limits := Standard
	limits.Entries = 19
	_, err := openWith(b, limits)
	assert.EqualError(t, err, "the archive has 20 entries, the most that is read is 19; split it into smaller archives")
	limits = Standard
	limits.Total = 19_999
	_, err = openWith(b, limits)
	assert.ErrorContains(t, err, "the archive unpacks to more than 19999 bytes")
	limits.Total = 20_000
	_, err = openWith(b, limits)
	assert.NoError(t, err)
}

// TestHugeDirectory holds that a directory is not read into memory before it is counted.
func TestHugeDirectory(t *testing.T) {
	var files []file
	for i := range 700 {
		files = append(files, file{name: fmt.Sprint(i, strings.Repeat("n", 15_000))})
	}
	_, err := open(write(t, files...))
	assert.ErrorContains(t, err, "the archive's directory is larger than 8 MB")
}

// TestEntriesOverOneAnother points two entries of the directory at the same bytes.
func TestEntriesOverOneAnother(t *testing.T) {
	b := write(t, file{name: "a.stl", data: "some text"}, file{name: "b.stl", data: "some text"})
	at := bytes.LastIndex(b, []byte("PK\x01\x02"))
	require.Positive(t, binary.LittleEndian.Uint32(b[at+42:]), "the second entry stands behind the first")
	binary.LittleEndian.PutUint32(b[at+42:], 0)
	_, err := open(b)
	assert.ErrorContains(t, err, "entries of the archive lie over one another")
}

func TestEntriesOutsideTheArchive(t *testing.T) {
	b := write(t, file{name: "a.stl", data: "some text"})
	at := bytes.LastIndex(b, []byte("PK\x01\x02"))
	for _, where := range []uint32{1, 40, uint32(len(b)), 1 << 31} {
		binary.LittleEndian.PutUint32(b[at+42:], where)
		_, err := open(b)
		assert.ErrorContains(t, err, "the entry's bytes are not where", where)
	}
}

// TestCutAnywhere ends an archive after every byte.
func TestCutAnywhere(t *testing.T) {
	b := write(t, file{name: "a.stl", data: "some text"}, file{name: "b/c.stl", data: "more"})
	for n := range b {
		_, err := open(b[:n])
		require.ErrorContains(t, err, "not whole", "cut at %d", n)
	}
}

func TestIsZip(t *testing.T) {
	assert.True(t, IsZip(write(t, file{name: "a", data: "b"})))
	assert.True(t, IsZip(write(t)), "an empty archive")
	assert.False(t, IsZip([]byte("PK")))
	assert.False(t, IsZip([]byte("PKZIP is a name")))
	a, err := open(write(t))
	require.NoError(t, err)
	assert.Empty(t, a.Entries)
}

// TestEntriesFromManySides reads all entries at once; the race detector looks on.
func TestEntriesFromManySides(t *testing.T) {
	a, err := open(write(t, file{name: "a", data: strings.Repeat("one", 9000)}, file{name: "b", data: strings.Repeat("two", 9000)}))
	require.NoError(t, err)
	var readers sync.WaitGroup
	for i := range 40 {
		readers.Go(func() {
			data, err := a.Entries[i%2].Bytes()
			assert.NoError(t, err)
			assert.Equal(t, strings.Repeat([]string{"one", "two"}[i%2], 9000), string(data))
		})
	}
	readers.Wait()
}
