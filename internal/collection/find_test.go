package collection

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/collection/repo"
	"printlint/internal/dice"
	"printlint/internal/pathname"
)

// tree makes a folder with the named files, each holding its own name, and moves there.
func tree(t *testing.T, names ...string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, n := range names {
		require.NoError(t, os.MkdirAll(filepath.Dir(n), 0o777))
		require.NoError(t, os.WriteFile(n, []byte(n), 0o666))
	}
}

func paths(files []File) []string {
	var list []string
	for _, f := range files {
		list = append(list, f.Path)
	}
	return list
}

var models = Options{Include: []string{"**/*.stl", "**/*.obj"}}

func TestFindWalksInOrder(t *testing.T) {
	tree(t, "b/z.stl", "b/a.stl", "a.obj", "readme.md", ".git/hidden.stl", "c/deep/er/x.stl")
	files, err := Find([]string{"."}, models)
	require.NoError(t, err)
	assert.Equal(t, []string{"a.obj", "b/a.stl", "b/z.stl", "c/deep/er/x.stl"}, paths(files))
	assert.Equal(t, int64(len("a.obj")), files[0].Size)
}

func TestFindTakesEachFileOnce(t *testing.T) {
	tree(t, "a.stl", "b/c.stl")
	files, err := Find([]string{".", "b", "b/c.stl", "./b/../a.stl"}, models)
	require.NoError(t, err)
	assert.Equal(t, []string{"a.stl", "b/c.stl"}, paths(files))
}

func TestFindMatchesExtensionsInAnyCase(t *testing.T) {
	tree(t, "CLIP.STL", "hook.Obj", "Upper/x.stl")
	files, err := Find([]string{"."}, Options{Include: []string{"**/*.{stl,obj}"}, Exclude: []string{"upper/**"}})
	require.NoError(t, err)
	assert.Equal(t, []string{"CLIP.STL", "Upper/x.stl", "hook.Obj"}, paths(files), "only the extension ignores case")
}

func TestExcludeCutsFolders(t *testing.T) {
	tree(t, "archive/old/a.stl", "parts/a.stl", "parts/draft-b.stl")
	opt := models
	opt.Exclude = []string{"archive", "**/draft-*"}
	files, err := Find([]string{"."}, opt)
	require.NoError(t, err)
	assert.Equal(t, []string{"parts/a.stl"}, paths(files))
}

func TestNamedFile(t *testing.T) {
	tree(t, "parts/a.dat", "archive/b.stl")
	opt := models
	opt.Exclude = []string{"archive/**"}
	files, err := Find([]string{"archive/b.stl", "parts/a.dat"}, opt)
	require.NoError(t, err)
	require.Equal(t, []string{"archive/b.stl", "parts/a.dat"}, paths(files))
	assert.Equal(t, "excluded by models.exclude in the configuration", files[0].Skip, "an exclusion holds for a named file too")
	assert.Empty(t, files[1].Skip, "a named file is taken whatever include says")
}

func TestPathsForRulesStartAtTheConfiguration(t *testing.T) {
	tree(t, "shelf/parts/a.stl")
	t.Chdir("shelf/parts")
	files, err := Find([]string{"a.stl"}, Options{Base: "..", Include: models.Include})
	require.NoError(t, err)
	assert.Equal(t, "a.stl", files[0].Path)
	assert.Equal(t, "parts/a.stl", files[0].Rules)
	files, err = Find([]string{".."}, Options{Base: "..", Include: models.Include})
	require.NoError(t, err)
	assert.Equal(t, "parts/a.stl", files[0].Rules)
	t.Chdir("..")
	require.NoError(t, os.Mkdir("beside", 0o777))
	t.Chdir("beside")
	files, err = Find([]string{"../parts"}, Options{Base: "..", Include: models.Include})
	require.NoError(t, err)
	assert.Equal(t, "../parts/a.stl", files[0].Path)
	assert.Equal(t, "parts/a.stl", files[0].Rules)
	assert.Equal(t, "parts/a.stl", Relative("..", "../parts/a.stl"))
}

func TestNothingFoundIsAnError(t *testing.T) {
	tree(t, "readme.md")
	_, err := Find([]string{"."}, models)
	assert.ErrorIs(t, err, ErrNone)
	_, err = Find([]string{"gone.stl"}, models)
	assert.EqualError(t, err, "gone.stl: no such file or directory")
}

func TestSymbolicLinks(t *testing.T) {
	tree(t, "shelf/real.stl", "outside.stl", "shelf/blob", "shelf/old/a.stl", "shelf/docs/readme.md")
	for link, target := range map[string]string{
		"again.stl": "real.stl", "blob.stl": "blob", "out.stl": "../outside.stl", "dangling.stl": "gone.stl", "loop": "..", "self.stl": "self.stl",
		"older.stl": "old/a.stl", "parts": "old", "folder.stl": "old", "words": "docs", "twice.stl": "again.stl", "notes": "docs/readme.md",
	} {
		require.NoError(t, os.Symlink(target, "shelf/"+link))
	}
	files, err := Find([]string{"shelf"}, Options{Include: models.Include, Exclude: []string{"shelf/old"}})
	require.NoError(t, err)
	got := map[string]string{}
	for i := range files {
		got[files[i].Path] = said(t, &files[i]) + fmt.Sprint(files[i].Notes)
	}
	const out = "error: symbolic link that leads out of the folder; name its target, or exclude it[]"
	const folder = "error: symbolic link to a folder, whose models are not judged under this name; name its target, or exclude it[]"
	assert.Equal(t, map[string]string{
		"shelf/real.stl": "shelf/real.stl[]", "shelf/again.stl": "shelf/real.stl[a symbolic link to shelf/real.stl]",
		"shelf/blob.stl": "shelf/blob[a symbolic link to shelf/blob]", "shelf/twice.stl": "shelf/real.stl[a symbolic link to shelf/real.stl]",
		"shelf/older.stl":    "shelf/old/a.stl[a symbolic link to shelf/old/a.stl, which is excluded under that name]",
		"shelf/dangling.stl": "error: symbolic link that leads nowhere[]", "shelf/self.stl": "error: symbolic link that leads nowhere[]",
		"shelf/out.stl": out, "shelf/loop": out, "shelf/parts": folder, "shelf/folder.stl": folder,
	}, got, "a link to a folder without a model is nothing to tell")
	named, err := Find([]string{"shelf/out.stl"}, models)
	require.NoError(t, err)
	assert.Equal(t, "outside.stl", said(t, &named[0]), "who names a link means it")
}

func TestLinksToFolders(t *testing.T) {
	tree(t, "real/a.stl", "real/deep/b.stl")
	require.NoError(t, os.Symlink("real", "alias"))
	for _, name := range []string{"alias", "alias/", "./alias/../alias"} {
		files, err := Find([]string{name}, models)
		require.NoError(t, err, name)
		assert.Equal(t, []string{"alias/a.stl", "alias/deep/b.stl"}, paths(files), name)
		assert.Equal(t, "real/a.stl", files[0].Rules, "rules do not depend on how a file is reached")
		assert.Equal(t, "real/a.stl", said(t, &files[0]))
	}
	files, err := Find([]string{"alias", "real"}, models)
	require.NoError(t, err)
	assert.Equal(t, []string{"real/a.stl", "real/deep/b.stl"}, paths(files), "no folder is read twice")
	assert.Equal(t, "real/a.stl", Relative(".", "alias/a.stl"))
	_, err = Find([]string{"alias"}, Options{Include: models.Include, Exclude: []string{"real"}})
	assert.ErrorIs(t, err, ErrNone, "an exclusion holds for it under any name")
}

// TestOneFileOneModel holds that neither the spelling of a name nor the order of names
// changes what is found.
func TestOneFileOneModel(t *testing.T) {
	tree(t, "shelf/a.stl", "shelf/b/c.stl", "shelf/x.stl", "d.stl")
	require.NoError(t, os.Symlink("shelf", "alias"))
	require.NoError(t, os.Symlink("../d.stl", "shelf/out.stl"))
	top, err := os.Getwd()
	require.NoError(t, err)
	names := []string{"alias/a.stl", "shelf/a.stl", "shelf/../shelf//a.stl", filepath.Join(top, "shelf/a.stl"), "shelf", "shelf/b/c.stl", "shelf/out.stl", "alias/b"}
	opt := Options{Include: models.Include, Exclude: []string{"shelf/x.stl"}}
	want := []string{"shelf/a.stl", "shelf/b/c.stl", "shelf/out.stl"}
	r := dice.New(t)
	for range 50 {
		r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		files, err := Find(names, opt)
		require.NoError(t, err)
		require.Equal(t, want, paths(files), names)
		require.Equal(t, "d.stl", said(t, &files[2]), "%q: who names a link means it", names)
	}
}

func TestNothingToJudge(t *testing.T) {
	tree(t, "archive/a.stl", "shelf/b.stl", "docs/c.md")
	require.NoError(t, os.WriteFile("empty.zip", []byte(zipOf(t)), 0o666))
	require.NoError(t, os.MkdirAll("packs", 0o777))
	require.NoError(t, os.WriteFile("packs/text.zip", []byte(zipOf(t, packed{name: "readme.txt", data: "x"})), 0o666))
	opt := Options{Include: []string{"**/*.{stl,zip}"}, Exclude: []string{"archive/**"}}
	for name, want := range map[string]string{
		"docs": ErrNone.Error(), "archive": ErrNone.Error(),
		"archive/a.stl": "archive/a.stl: excluded by models.exclude in the configuration; " + ErrNone.Error(),
		"packs":         "packs/text.zip: there is no model in this pack; " + ErrNone.Error(),
	} {
		_, err := Find([]string{name}, opt)
		assert.EqualError(t, err, want, name)
		assert.ErrorIs(t, err, ErrNone)
	}
	files, err := Find([]string{"empty.zip"}, opt)
	require.NoError(t, err)
	assert.Equal(t, "error: there is no model in this pack; name one that holds models, or leave it out", said(t, &files[0]))
	files, err = Find([]string{"docs", "shelf", "packs", "archive/a.stl", "archive"}, opt)
	require.NoError(t, err)
	got := map[string]string{}
	for i := range files {
		got[files[i].Path] = said(t, &files[i])
	}
	const nothing = "error: nothing in it can be judged; name what holds models, and see models.include and models.exclude in the configuration"
	assert.Equal(t, map[string]string{
		"docs": nothing, "packs": nothing, "archive": nothing, "shelf/b.stl": "shelf/b.stl", "packs/text.zip": "skipped: there is no model in this pack",
		"archive/a.stl": "skipped: excluded by models.exclude in the configuration",
	}, got)
	opt.Since = changedOnly(t)
	files, err = Find([]string{"shelf"}, opt)
	require.NoError(t, err, "nothing changed is no error")
	assert.Empty(t, files)
}

func TestFoldersThatLookLikeContainers(t *testing.T) {
	tree(t, "plate.3mf!/a.stl", "bad\xff.stl", "bad\xfe.stl", "plate.3mf")
	require.NoError(t, os.WriteFile("bad\xff.stl", nil, 0o666))
	files, err := Find([]string{"."}, models)
	require.NoError(t, err)
	assert.Equal(t, []string{`bad\xfe.stl`, `bad\xff.stl`, `plate.3mf\x21/a.stl`}, paths(files))
	assert.Equal(t, "plate.3mf!/a.stl", said(t, &files[2]))
	files, err = Find([]string{"plate.3mf!/a.stl"}, models)
	require.NoError(t, err)
	assert.Equal(t, `plate.3mf\x21/a.stl`, files[0].Rules)
	assert.False(t, pathname.Match("plate.3mf", files[0].Rules), "what is said of a file is not said of a folder")
}

// changedOnly is a change of some files below the working directory.
func changedOnly(t *testing.T, names ...string) *Change {
	t.Helper()
	top, err := resolve(".")
	require.NoError(t, err)
	c := &Change{own: &repo.Repo{Top: top}, paths: map[string]bool{}}
	for _, name := range names {
		c.paths[name] = true
	}
	return c
}

func TestFilesThatOnlyLookLikeModels(t *testing.T) {
	tree(t, "a.stl", "b.step", "c.STEP", "deep/d.glb", "e.7z", "f.stl.gz", "g.csv.gz", "h.gz", "old/i.step", "j.txt", "k.tar.xz", "l.3mf.tar")
	require.NoError(t, os.WriteFile("p.zip", []byte(zipOf(t, packed{name: "m.f3d"}, packed{name: "n.stl"})), 0o666))
	told := []string{}
	opt := Options{Include: []string{"**/*.{stl,zip}"}, Exclude: []string{"old"}, Unread: func(text string) { told = append(told, text) }}
	_, err := Find([]string{"."}, opt)
	require.NoError(t, err)
	assert.Equal(t, []string{"9 files look like models and are not read: 2 .step, 1 .7z, 1 .f3d, 1 .glb, 1 .gz, 1 .stl.gz, 1 .tar, 1 .tar.xz"}, told)
	told = nil
	opt.Since = changedOnly(t, "e.7z")
	_, err = Find([]string{"."}, opt)
	require.NoError(t, err)
	assert.Equal(t, []string{"1 file looks like a model and is not read: 1 .7z"}, told)
}

func TestOpenReadsTheContent(t *testing.T) {
	tree(t, "a.stl")
	files, err := Find([]string{"a.stl"}, models)
	require.NoError(t, err)
	c, err := files[0].Open()
	require.NoError(t, err)
	defer c.Close()
	text, err := io.ReadAll(io.NewSectionReader(c, 0, c.Size()))
	require.NoError(t, err)
	assert.Equal(t, "a.stl", string(text))
	require.NoError(t, os.Remove("a.stl"))
	_, err = files[0].Open()
	assert.True(t, errors.Is(err, os.ErrNotExist))
}

func TestWhatIsNoFileIsReported(t *testing.T) {
	tree(t, "a.stl")
	files, err := Find([]string{os.DevNull}, models)
	require.NoError(t, err)
	_, err = files[0].Open()
	assert.EqualError(t, err, "not a regular file")
}
