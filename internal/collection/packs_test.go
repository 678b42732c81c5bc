package collection

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"net"
	"os"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/pack"
)

// packed is one entry of a pack made by a test.
type packed struct {
	name, data string
	method     uint16
	mode       fs.FileMode
}

func zipOf(t *testing.T, entries ...packed) string {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range entries {
		h := &zip.FileHeader{Name: p.name, Method: p.method}
		if p.mode != 0 {
			h.SetMode(p.mode)
		}
		e, err := w.CreateHeader(h)
		require.NoError(t, err)
		_, err = io.WriteString(e, p.data)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.String()
}

// shelf writes files by their content, moves there and finds what is to be checked.
func shelf(t *testing.T, files map[string]string, exclude ...string) []File {
	t.Helper()
	tree(t)
	for name, data := range files {
		require.NoError(t, os.WriteFile(name, []byte(data), 0o666))
	}
	found, err := Find([]string{"."}, Options{Include: []string{"**/*.{stl,3mf,zip}"}, Exclude: exclude})
	require.NoError(t, err)
	return found
}

// said reads a file: its content, or what is wrong with it.
func said(t *testing.T, f *File) string {
	t.Helper()
	if f.Skip != "" {
		return "skipped: " + f.Skip
	}
	c, err := f.Open()
	if err != nil {
		return "error: " + err.Error()
	}
	defer c.Close()
	b, err := io.ReadAll(io.NewSectionReader(c, 0, c.Size()))
	require.NoError(t, err)
	return string(b)
}

func TestPacksAreListedAsTheirModels(t *testing.T) {
	files := shelf(t, map[string]string{"pack.zip": zipOf(t,
		packed{name: "clip.stl", data: "clip", method: zip.Deflate},
		packed{name: "deep/Hook.STL", data: "hook"},
		packed{name: "readme.txt", data: "text"},
		packed{name: "deep/plate.3mf", data: "plate"},
	), "z.stl": "z"})
	require.Equal(t, []string{"pack.zip!/clip.stl", "pack.zip!/deep/Hook.STL", "pack.zip!/deep/plate.3mf", "z.stl"}, paths(files))
	for i, want := range []string{"clip", "hook", "plate", "z"} {
		assert.Equal(t, want, said(t, &files[i]))
		assert.Equal(t, int64(len(want)), files[i].Size)
		assert.Equal(t, files[i].Path, files[i].Rules)
	}
}

func TestPacksInsidePacks(t *testing.T) {
	one := zipOf(t, packed{name: "a.stl", data: "a"})
	two := zipOf(t, packed{name: "one.zip", data: one, method: zip.Deflate}, packed{name: "b.stl", data: "b"})
	three := zipOf(t, packed{name: "two.zip", data: two})
	four := zipOf(t, packed{name: "three.zip", data: three})
	files := shelf(t, map[string]string{"3.zip": three, "4.zip": four})
	require.Equal(t, []string{"3.zip!/two.zip!/b.stl", "3.zip!/two.zip!/one.zip!/a.stl",
		"4.zip!/three.zip!/two.zip!/b.stl", "4.zip!/three.zip!/two.zip!/one.zip"}, paths(files))
	assert.Equal(t, "b", said(t, &files[0]))
	assert.Equal(t, "a", said(t, &files[1]))
	assert.Equal(t, "b", said(t, &files[2]))
	assert.Equal(t, "error: packs inside one another, more than 3 deep; unpack the inner one", said(t, &files[3]))
}

func TestExcludeReachesIntoPacks(t *testing.T) {
	data := zipOf(t, packed{name: "clip.stl", data: "c"}, packed{name: "draft/x.stl", data: "x"}, packed{name: "draft-y.stl", data: "y"})
	files := shelf(t, map[string]string{"pack.zip": data, "old.zip": data}, "old.zip", "pack.zip!/draft", "**/draft-*")
	assert.Equal(t, []string{"pack.zip!/clip.stl"}, paths(files))
}

func TestPacksThatAreHostileOrBroken(t *testing.T) {
	good := zipOf(t, packed{name: "a.stl", data: "a"})
	bomb := zipOf(t, packed{name: "big.stl", data: string(make([]byte, 4<<20)), method: zip.Deflate}, packed{name: "a.stl", data: "a"})
	files := shelf(t, map[string]string{
		"bomb.zip":  bomb,
		"cut.zip":   good[:len(good)-5],
		"climb.zip": zipOf(t, packed{name: "../../evil.sh", data: "x"}, packed{name: "a.stl", data: "a"}),
		"docs.zip":  zipOf(t, packed{name: "readme.txt", data: "x"}),
		"empty.zip": "",
		"lfs.zip":   "version https://git-lfs.github.com/spec/v1\n",
		"link.zip":  zipOf(t, packed{name: "a.stl", data: "/etc/passwd", mode: fs.ModeSymlink | 0o777}, packed{name: "LICENSE", data: "COPYING", mode: fs.ModeSymlink | 0o777}),
		"none.zip":  zipOf(t),
		"side.zip":  zipOf(t, packed{name: "__MACOSX/._a.stl", data: sidecar(100)}, packed{name: "a.stl", data: "a"}, packed{name: "._b.stl", data: "b"}),
		"twice.zip": zipOf(t, packed{name: "a.stl", data: "a"}, packed{name: "a.stl", data: "b"}, packed{name: "b.stl", data: "b"}),
	})
	got := map[string]string{}
	for i := range files {
		got[files[i].Path] += "[" + said(t, &files[i]) + "]"
	}
	assert.Equal(t, map[string]string{
		"bomb.zip!/big.stl":          "[error: the entry unpacks to more than 200 times what is stored; do not unpack it; ask its maker for a plain archive]",
		"bomb.zip!/a.stl":            "[a]",
		"cut.zip":                    "[error: the archive is not whole: its directory, which stands at the end, cannot be read; make or download the archive again]",
		"climb.zip!/../../evil.sh":   "[error: the entry's name climbs out of the folder that it is unpacked in; do not unpack it; ask its maker for a plain archive]",
		"climb.zip!/a.stl":           "[a]",
		"docs.zip":                   "[skipped: there is no model in this pack]",
		"empty.zip":                  "[]",
		"lfs.zip":                    "[version https://git-lfs.github.com/spec/v1\n]",
		"link.zip!/a.stl":            "[error: a symbolic link, which is not followed out of an archive; put the file itself into the archive]",
		"none.zip":                   "[skipped: there is no model in this pack]",
		"side.zip!/__MACOSX/._a.stl": "[skipped: a file beside a model with what one system knows about it, no model]",
		"side.zip!/a.stl":            "[a]",
		"side.zip!/._b.stl":          "[b]",
		"twice.zip":                  "[error: the archive holds several entries of the name \"a.stl\"; leave one of them]",
	}, got)
}

// TestLimitsHoldForAllThatIsInside holds that packs in a pack share its limits: each of
// many small ones could otherwise ask for as much as the first.
func TestLimitsHoldForAllThatIsInside(t *testing.T) {
	var many []packed
	for i := range 300 {
		many = append(many, packed{name: fmt.Sprint(i, ".stl")})
	}
	inner := zipOf(t, many...)
	var packs []packed
	for i := range 40 {
		packs = append(packs, packed{name: fmt.Sprint(100+i, ".zip"), data: inner})
	}
	files := shelf(t, map[string]string{"p.zip": zipOf(t, packs...)})
	refused := 0
	for i := range files {
		if isPack(files[i].Path) {
			assert.Contains(t, said(t, &files[i]), "the archive has 300 entries, the most that is read is")
			refused++
		}
	}
	assert.Equal(t, 7, refused, "40 x 300 entries are 2000 too many")
	assert.Len(t, files, 33*300+7)
}

func TestLargePacksInsidePacksAreNotUnpacked(t *testing.T) {
	large := zipOf(t, packed{name: "a.stl", data: string(make([]byte, 2<<20))})
	data := zipOf(t, packed{name: "in.zip", data: large, method: zip.Deflate}, packed{name: "b.stl", data: "b"})
	file := New("p.zip", "p.zip", 1, func() (Content, error) { return inMemory{bytes.NewReader([]byte(data))}, nil })
	u := &unpacker{left: pack.Standard, inner: 1 << 20, room: 1 << 20}
	u.left.Ratio = 1 << 20
	files := u.unpack(&file, 1)
	require.Equal(t, []string{"p.zip!/in.zip", "p.zip!/b.stl"}, paths(files))
	assert.Equal(t, "error: the packs inside packs and the packed tar archives of this run unpack to more than 1 MB; unpack it and check what is in it", said(t, &files[0]))
	assert.Len(t, Unpack([]File{file}, nil), 2)
}

// TestManyReadersOfOnePack reads all models of a pack at once, and holds that it is closed.
func TestManyReadersOfOnePack(t *testing.T) {
	data := zipOf(t, packed{name: "a.stl", data: "stored"}, packed{name: "b.stl", data: "packed", method: zip.Deflate})
	var mutex sync.Mutex
	opened, openNow := 0, 0
	whole := New("p.zip", "p.zip", 1, func() (Content, error) {
		mutex.Lock()
		defer mutex.Unlock()
		opened++
		openNow++
		return &inner{bytes.NewReader([]byte(data)), func() { mutex.Lock(); openNow--; mutex.Unlock() }}, nil
	})
	files := Unpack([]File{whole}, nil)
	require.Len(t, files, 2)
	var readers sync.WaitGroup
	for i := range 50 {
		readers.Go(func() { assert.Equal(t, []string{"stored", "packed"}[i%2], said(t, &files[i%2])) })
	}
	readers.Wait()
	assert.Zero(t, openNow, "%d opened", opened)
}

func TestDevicesAndPipes(t *testing.T) {
	tree(t, "a.stl")
	l, err := net.Listen("unix", "b.stl")
	require.NoError(t, err)
	defer l.Close()
	require.NoError(t, os.Symlink("b.stl", "c.stl"))
	require.NoError(t, os.Mkdir("d.stl", 0o777))
	files, err := Find([]string{"."}, models)
	require.NoError(t, err)
	require.Equal(t, []string{"a.stl", "b.stl", "c.stl"}, paths(files))
	assert.Equal(t, "skipped: a device, pipe or socket, no model", said(t, &files[1]))
	assert.Equal(t, "error: not a regular file", said(t, &files[2]))
	named, err := Find([]string{"c.stl"}, models)
	require.NoError(t, err)
	assert.Equal(t, "error: not a regular file", said(t, &named[0]))
}

func TestOrigins(t *testing.T) {
	o := OriginsOf([]File{{Path: "../a.stl", Rules: "parts/a.stl"}, {Path: "../p.zip!/b.3mf", Rules: "p.zip!/b.3mf"},
		{Path: "wow!/c.3mf", Rules: "wow!/c.3mf"}, {Path: "wow", Rules: "no"}})
	for model, want := range map[string][2]string{
		"../a.stl":                          {"../a.stl", "parts/a.stl"},
		"../p.zip!/b.3mf!/3D/3dmodel.model": {"../p.zip!/b.3mf", "p.zip!/b.3mf!/3D/3dmodel.model"},
		"wow!/c.3mf!/3D/3dmodel.model":      {"wow!/c.3mf", "wow!/c.3mf!/3D/3dmodel.model"},
		"unknown.zip!/a.stl":                {"unknown.zip!/a.stl", "unknown.zip!/a.stl"},
	} {
		file, rules := o.Of(model)
		assert.Equal(t, want, [2]string{file, rules})
	}
}

func TestNamesInsidePacks(t *testing.T) {
	inner := zipOf(t, packed{name: "x.stl", data: "x"})
	shelf(t, map[string]string{
		"p.zip":   zipOf(t, packed{name: "a.stl", data: "a"}, packed{name: "ab.stl", data: "ab"}, packed{name: "in/b.stl", data: "b"}, packed{name: "in/c.3mf", data: "c"}, packed{name: "q.zip", data: inner}),
		"z.3mf":   "z",
		"cut.zip": inner[:30],
	}, "p.zip!/ab.stl")
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"p.zip!/a.stl"}, []string{"p.zip!/a.stl"}},
		{[]string{"p.zip!/in"}, []string{"p.zip!/in/b.stl", "p.zip!/in/c.3mf"}},
		{[]string{"p.zip!/in/"}, []string{"p.zip!/in/b.stl", "p.zip!/in/c.3mf"}},
		{[]string{"p.zip!/in/c.3mf!/3D/3dmodel.model"}, []string{"p.zip!/in/c.3mf"}},
		{[]string{"p.zip!/q.zip"}, []string{"p.zip!/q.zip!/x.stl"}},
		{[]string{"p.zip!/q.zip!/x.stl"}, []string{"p.zip!/q.zip!/x.stl"}},
		{[]string{"z.3mf!/3D/3dmodel.model"}, []string{"z.3mf"}},
		{[]string{"cut.zip!/a.stl"}, []string{"cut.zip"}},
		{[]string{"p.zip!/a.stl", "p.zip"}, []string{"p.zip!/a.stl", "p.zip!/ab.stl", "p.zip!/in/b.stl", "p.zip!/in/c.3mf", "p.zip!/q.zip!/x.stl"}},
	} {
		files, err := Find(c.args, Options{})
		require.NoError(t, err, c.args)
		assert.Equal(t, c.want, paths(files), c.args)
	}
	files, err := Find([]string{"p.zip!/a.stl"}, Options{})
	require.NoError(t, err)
	assert.Equal(t, "a", said(t, &files[0]))
	_, err = Find([]string{"p.zip!/none.stl"}, Options{})
	assert.EqualError(t, err, "p.zip has no model none.stl")
	_, err = Find([]string{"none.zip!/a.stl"}, Options{})
	assert.EqualError(t, err, "none.zip!/a.stl: no such file or directory")
	_, err = Find([]string{"p.zip!/ab.stl"}, Options{Exclude: []string{"p.zip!/ab.stl"}})
	assert.EqualError(t, err, "p.zip has no model ab.stl")
}

// tarOf makes a tar archive, packed with gzip if asked for.
func tarOf(t *testing.T, packing bool, entries ...packed) string {
	t.Helper()
	var b bytes.Buffer
	w := tar.NewWriter(&b)
	for _, p := range entries {
		require.NoError(t, w.WriteHeader(&tar.Header{Name: p.name, Size: int64(len(p.data)), Mode: 0o644}))
		_, err := io.WriteString(w, p.data)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	if packing {
		return gzipOf(t, b.String())
	}
	return b.String()
}

func gzipOf(t *testing.T, data string) string {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := io.WriteString(w, data)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.String()
}

func TestTarsAndGzip(t *testing.T) {
	clip := packed{name: "clip.stl", data: "clip"}
	tarred := tarOf(t, true, clip, packed{name: "in/one.zip", data: zipOf(t, packed{name: "a.stl", data: "a", method: zip.Deflate})}, packed{name: "readme.txt", data: "text"})
	tree(t)
	for name, data := range map[string]string{
		"p.tar.gz": tarred, "q.TGZ": tarOf(t, true, clip), "r.tar": tarOf(t, false, clip, packed{name: "x.stl.gz", data: gzipOf(t, "x")}),
		"Part.STL.gz": gzipOf(t, "part"), "s.3mf.gz": gzipOf(t, "plate"), "z.zip": zipOf(t, packed{name: "in.tar.gz", data: tarred, method: zip.Deflate}),
		"cut.stl.gz": gzipOf(t, "some text")[:15], "lie.tar.gz": gzipOf(t, "no archive"), "lie.zip": tarred, "none.tgz": tarOf(t, true), "plain.stl.gz": "solid a",
		"bomb.stl.gz": gzipOf(t, string(make([]byte, 8<<20))),
	} {
		put(t, name, data)
	}
	found, err := Find([]string{"."}, Options{Include: []string{"**/*.{stl,zip,tar,tgz,tar.gz,stl.gz,3mf.gz}"}})
	require.NoError(t, err)
	got := map[string]string{}
	for i := range found {
		got[found[i].Path] = said(t, &found[i])
	}
	assert.Equal(t, map[string]string{
		"p.tar.gz!/clip.stl": "clip", "p.tar.gz!/in/one.zip!/a.stl": "a", "q.TGZ!/clip.stl": "clip", "r.tar!/clip.stl": "clip", "r.tar!/x.stl.gz!/x.stl": "x",
		"Part.STL.gz!/Part.STL": "part", "s.3mf.gz!/s.3mf": "plate", "z.zip!/in.tar.gz!/clip.stl": "clip", "z.zip!/in.tar.gz!/in/one.zip!/a.stl": "a",
		"cut.stl.gz":   "error: the file is not whole: it is shorter than anything packed with gzip; make or download the archive again",
		"lie.tar.gz":   "error: the archive is not whole: what stands before entry 1 cannot be read; make or download the archive again",
		"lie.zip":      tarred,
		"none.tgz":     "skipped: there is no model in this pack",
		"plain.stl.gz": "solid a",
		"bomb.stl.gz":  "error: the file unpacks to more than 200 times what is stored; do not unpack it; ask its maker for a plain archive",
	}, got)
	named, err := Find([]string{"p.tar.gz!/clip.stl", "Part.STL.gz"}, Options{})
	require.NoError(t, err)
	assert.Equal(t, []string{"Part.STL.gz!/Part.STL", "p.tar.gz!/clip.stl"}, paths(named))
}
