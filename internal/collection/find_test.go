package collection

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
	files, err := Find([]string{"parts/a.dat", "archive/b.stl"}, opt)
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
	tree(t, "shelf/real.stl", "outside.stl", "shelf/blob")
	require.NoError(t, os.Symlink("real.stl", "shelf/again.stl"))
	require.NoError(t, os.Symlink("blob", "shelf/blob.stl"))
	require.NoError(t, os.Symlink("../outside.stl", "shelf/out.stl"))
	require.NoError(t, os.Symlink("gone.stl", "shelf/dangling.stl"))
	require.NoError(t, os.Symlink("..", "shelf/loop"))
	files, err := Find([]string{"shelf"}, models)
	require.NoError(t, err)
	require.Equal(t, []string{"shelf/blob.stl", "shelf/dangling.stl", "shelf/out.stl", "shelf/real.stl"}, paths(files))
	_, err = files[1].Open()
	assert.EqualError(t, err, "symbolic link that leads nowhere")
	assert.Contains(t, files[2].Skip, "leads out of the folder")
	named, err := Find([]string{"shelf/out.stl"}, models)
	require.NoError(t, err)
	assert.Empty(t, named[0].Skip, "who names a link means it")
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
