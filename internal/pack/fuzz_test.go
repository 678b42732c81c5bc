package pack

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzOpen holds what Open promises about any bytes: a clear error, or entries that keep to
// their claims and to the limits.
func FuzzOpen(f *testing.F) {
	f.Add(write(f, file{name: "a.stl", data: "some text"}, file{name: "dir/b.stl", data: "more"}))
	f.Add(write(f, file{name: "../a.stl", data: "x"}, file{name: "a\\b", data: "y"}, file{name: "c/"}))
	f.Add(raw(f, zip.FileHeader{Method: zip.Store, UncompressedSize64: 4}, "abcd"))
	f.Add(raw(f, zip.FileHeader{Method: zip.Deflate, Flags: 8, UncompressedSize64: 400}, "abcd"))
	f.Add(write(f))
	limits := Limits{Entries: 100, Size: 1 << 16, Total: 1 << 18, Ratio: 100, Depth: 3}
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := openWith(data, limits)
		if err != nil {
			require.Nil(t, a)
			require.NotEmpty(t, err.Error())
			return
		}
		require.LessOrEqual(t, len(a.Entries), limits.Entries)
		seen := map[string]bool{}
		var total int64
		for i := range a.Entries {
			e := &a.Entries[i]
			b, err := e.Bytes()
			if err != nil {
				require.NotEmpty(t, err.Error())
				continue
			}
			require.Nil(t, nameProblem(e.Name))
			require.False(t, seen[e.Name], "two entries read as %q", e.Name)
			seen[e.Name] = true
			require.Len(t, b, int(e.Size))
			if s, ok := e.Stored(bytes.NewReader(data)); ok {
				require.Equal(t, e.Size, s.Size())
			}
			total += e.Size
		}
		require.LessOrEqual(t, total, limits.Total)
	})
}

// FuzzOpenTar holds the same for tar archives.
func FuzzOpenTar(f *testing.F) {
	f.Add(tarOf(f, tar.FormatGNU, holding("a.stl", "some text"), holding("dir/b.stl", "more")))
	f.Add(tarOf(f, tar.FormatPAX, holding("../a.stl", "x"), tar.Header{Name: "l", Typeflag: tar.TypeSymlink, Linkname: "a"}))
	limits := Limits{Entries: 100, Size: 1 << 16, Total: 1 << 18, Ratio: 100, Depth: 3}
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := openTar(data, limits)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		for i := range a.Entries {
			e := &a.Entries[i]
			b, err := e.Bytes()
			if err != nil {
				require.NotEmpty(t, err.Error())
				continue
			}
			require.Nil(t, nameProblem(e.Name))
			require.Len(t, b, int(e.Size))
		}
	})
}

// FuzzGunzip holds that what is unpacked is what was claimed.
func FuzzGunzip(f *testing.F) {
	f.Add(gzipped(f, "some text"))
	f.Add(gzipped(f, ""))
	f.Fuzz(func(t *testing.T, data []byte) {
		text, err := gunzip(data, Limits{Size: 1 << 20, Ratio: 200})
		if err == nil {
			require.LessOrEqual(t, len(text), 1<<20)
		}
	})
}
