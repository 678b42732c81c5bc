package pack

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tarOf makes a tar archive; an entry without a type is a file.
func tarOf(t testing.TB, format tar.Format, entries ...tar.Header) []byte {
	t.Helper()
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for _, h := range entries {
		data := h.Linkname
		if h.Typeflag == 0 {
			h.Typeflag, h.Size, h.Linkname = tar.TypeReg, int64(len(data)), ""
		}
		h.Format, h.Mode = format, 0o644
		require.NoError(t, w.WriteHeader(&h))
		if h.Typeflag == tar.TypeReg {
			_, err := io.WriteString(w, data)
			require.NoError(t, err)
		}
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// holding is a file of an archive with its content.
func holding(name, data string) tar.Header { return tar.Header{Name: name, Linkname: data} }

func openTar(b []byte, limits Limits) (*Archive, error) {
	return OpenTar(bytes.NewReader(b), int64(len(b)), limits)
}

func TestTarIsReadWhereItLies(t *testing.T) {
	long := strings.Repeat("deep/", 30) + "c.stl"
	for _, format := range []tar.Format{tar.FormatGNU, tar.FormatPAX} {
		b := tarOf(t, format, holding("a.stl", "one"), tar.Header{Name: "in/", Typeflag: tar.TypeDir}, holding("./in/b.stl", strings.Repeat("two", 500)), holding(long, "three"))
		require.True(t, IsTar(b))
		a, err := openTar(b, Standard)
		require.NoError(t, err)
		var got []string
		for i := range a.Entries {
			data, err := a.Entries[i].Bytes()
			require.NoError(t, err)
			where, ok := a.Entries[i].Stored(bytes.NewReader(b))
			require.True(t, ok)
			again, err := io.ReadAll(where)
			require.NoError(t, err)
			require.Equal(t, again, data)
			got = append(got, a.Entries[i].Name+" "+string(data))
		}
		assert.Equal(t, []string{"a.stl one", "in/b.stl " + strings.Repeat("two", 500), long + " three"}, got)
	}
}

func TestTarsThatLie(t *testing.T) {
	plain := tarOf(t, tar.FormatGNU, holding("a.stl", "one"), holding("b.stl", "two"))
	limits := Standard
	limits.Entries = 1
	_, err := openTar(plain, limits)
	assert.ErrorContains(t, err, "the archive has more than 1 entries")
	limits = Standard
	limits.Total = 5
	_, err = openTar(plain, limits)
	assert.ErrorContains(t, err, "the archive unpacks to more than 5 bytes")
	_, err = openTar(append(bytes.Clone(plain), plain...), Standard)
	assert.ErrorContains(t, err, "where the archive ends, lies something else")
	_, err = openTar(append(bytes.Clone(plain), make([]byte, 5000)...), Standard)
	assert.NoError(t, err, "it is filled up with zeros")
	for _, n := range []int{1, 511, 513, 600, 1024, 1025, 1030, 1500, 2048, 3000} {
		_, err = openTar(plain[:n], Standard)
		assert.ErrorContains(t, err, "not whole", n)
	}
	bad := bytes.Clone(plain)
	bad[0]++
	_, err = openTar(bad, Standard)
	assert.ErrorContains(t, err, "what stands before entry 1 cannot be read")
	_, err = openTar(tarOf(t, tar.FormatGNU, holding("a.stl", "one"), holding("A.stl", "two")), Standard)
	assert.ErrorContains(t, err, "one file on many systems")
	_, err = openTar(tarOf(t, tar.FormatGNU, holding("a.stl", "one"), holding("a.stl", "two")), Standard)
	assert.ErrorContains(t, err, "several entries of the name")
}

func TestTarEntriesThatAreRefused(t *testing.T) {
	limits := Standard
	limits.Size = 10
	a, err := openTar(tarOf(t, tar.FormatPAX, holding("../evil.stl", "x"), holding("/abs.stl", "x"), holding("large.stl", "more than ten"),
		tar.Header{Name: "link.stl", Typeflag: tar.TypeSymlink, Linkname: "a"}, tar.Header{Name: "hard.stl", Typeflag: tar.TypeLink, Linkname: "a"},
		tar.Header{Name: "pipe.stl", Typeflag: tar.TypeFifo}, holding("good.stl", "x")), limits)
	require.NoError(t, err)
	var got []string
	for _, e := range a.Entries {
		got = append(got, fmt.Sprintf("%s %v %v", e.Name, e.Unsafe, e.Err))
	}
	assert.Equal(t, []string{
		"../evil.stl true the entry's name climbs out of the folder that it is unpacked in; do not unpack it; ask its maker for a plain archive",
		"/abs.stl true the entry's name is absolute: it would be written outside the folder; do not unpack it; ask its maker for a plain archive",
		"large.stl false the entry unpacks to more than 10 bytes, the most that is read; do not unpack it; ask its maker for a plain archive",
		"link.stl false a link, which is not followed out of an archive; put the file itself into the archive",
		"hard.stl false a link, which is not followed out of an archive; put the file itself into the archive",
		"pipe.stl false not an ordinary file; put an ordinary file into the archive",
		"good.stl false <nil>",
	}, got)
}

func gzipped(t testing.TB, data string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := io.WriteString(w, data)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}

func gunzip(b []byte, limits Limits) (string, error) {
	n, err := GzipSize(bytes.NewReader(b), int64(len(b)), limits)
	if err != nil {
		return "", err
	}
	data, err := Gunzip(bytes.NewReader(b), int64(len(b)), n)
	return string(data), err
}

func TestGunzip(t *testing.T) {
	for _, text := range []string{"", "a", strings.Repeat("solid ", 100_000)} {
		got, err := gunzip(gzipped(t, text), Standard)
		require.NoError(t, err)
		assert.Equal(t, text, got)
	}
	plain := gzipped(t, "some text of a model")
	require.True(t, IsGzip(plain))
	_, err := gunzip(append(bytes.Clone(plain), gzipped(t, "twenty letters again")...), Standard)
	assert.EqualError(t, err, "behind the packed file lies something else; unpack it and pack it again as one piece")
	_, err = gunzip(append(bytes.Clone(plain), gzipped(t, "another")...), Standard)
	assert.Error(t, err)
	for n := range plain {
		_, err = gunzip(plain[:n], Standard)
		require.Error(t, err, n)
	}
	for i := range plain {
		if i >= 4 && i < 10 {
			continue // time, level and system mean nothing
		}
		bad := bytes.Clone(plain)
		bad[i] ^= 0x55
		_, err = gunzip(bad, Standard)
		assert.Error(t, err, i)
	}
}

// TestGzipTraps holds that no memory is asked for on a claim, and no more is unpacked.
func TestGzipTraps(t *testing.T) {
	trap := gzipped(t, string(make([]byte, 8<<20)))
	_, err := gunzip(trap, Standard)
	assert.ErrorContains(t, err, "the file unpacks to more than 200 times what is stored")
	limits := Standard
	limits.Size = 1 << 20
	_, err = gunzip(trap, limits)
	assert.ErrorContains(t, err, "the file unpacks to more than 1 MB")
	binary.LittleEndian.PutUint32(trap[len(trap)-4:], 1000)
	_, err = gunzip(trap, Standard)
	assert.ErrorContains(t, err, "it does not unpack to what its end says")
}
