package collection

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// written puts files into a folder.
func written(t *testing.T, dir string, files map[string][]byte) {
	t.Helper()
	for name, data := range files {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
}

// zipped is a pack with empty files.
func zipped(t *testing.T, names ...string) []byte {
	t.Helper()
	var pack bytes.Buffer
	z := zip.NewWriter(&pack)
	for _, name := range names {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte("x"))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return pack.Bytes()
}

// TestFoldersWithModels lists folders on disk and in packs, once each, with what lies in
// them and which of that are models, whether the run looks at them or not.
func TestFoldersWithModels(t *testing.T) {
	t.Chdir(t.TempDir())
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, err := z.Write([]byte("solid x"))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	written(t, ".", map[string][]byte{
		"top.stl": nil, "note.txt": nil, "a/clip.stl": nil, "a/lid.stl": nil, "a/old.stl": nil, "a/b/deep.stl": nil, "empty/x.txt": nil,
		"p/pack.zip": zipped(t, "in/clip.stl", "in/README.md", "root.obj", "root.txt"), "g/one.stl.gz": packed.Bytes(),
	})
	include := []string{"**/*.{stl,obj,zip,stl.gz}"}
	files, err := Find([]string{"."}, Options{Include: include, Exclude: []string{"a/old.stl"}})
	require.NoError(t, err)
	var folders Folders
	list := folders.Folders(files)
	type folder struct {
		path          string
		names, models []string
		file          string
	}
	var got []folder
	for i := range list {
		d := &list[i]
		assert.Equal(t, d.Path, d.Rules)
		got = append(got, folder{d.Path, d.Names, d.Models(include, []string{"a/old.stl"}), d.File("n")})
	}
	assert.Equal(t, []folder{
		{".", []string{"note.txt", "top.stl"}, []string{"top.stl"}, "n"},
		{"a", []string{"clip.stl", "lid.stl", "old.stl"}, []string{"clip.stl", "lid.stl"}, "a/n"},
		{"a/b", []string{"deep.stl"}, []string{"deep.stl"}, "a/b/n"},
		{"g", []string{"one.stl.gz"}, []string{"one.stl.gz"}, "g/n"},
		{"p/pack.zip", []string{"root.obj", "root.txt"}, []string{"root.obj"}, "p/pack.zip!/n"},
		{"p/pack.zip!/in", []string{"README.md", "clip.stl"}, []string{"clip.stl"}, "p/pack.zip!/in/n"},
	}, got)
	only, err := Find([]string{"a/clip.stl"}, Options{Include: include})
	require.NoError(t, err)
	list = folders.Folders(only)
	require.Len(t, list, 1)
	assert.Equal(t, []string{"clip.stl", "lid.stl", "old.stl"}, list[0].Models(include, nil), "all of them, though the run looks at one")
	fresh := New("a.stl", "a.stl", 0, nil)
	assert.Empty(t, folders.Folders([]File{fresh}), "standard input lies in no folder")
}

// TestFoldersLeaveOutWhatGitIgnores holds that a note which git ignores, and so nobody else
// has, is not there.
func TestFoldersLeaveOutWhatGitIgnores(t *testing.T) {
	repository(t, "a/clip.stl", "a/note.txt")
	put(t, ".gitignore", "*.png\n")
	put(t, "a/build.png", "x")
	files, err := Find([]string{"."}, Options{Include: []string{"**/*.stl"}})
	require.NoError(t, err)
	var folders Folders
	list := folders.Folders(files)
	require.Len(t, list, 1)
	assert.Equal(t, []string{"clip.stl", "note.txt"}, list[0].Names)
}

// TestFoldersAreStaged holds that of what is staged the index says what lies in a folder.
func TestFoldersAreStaged(t *testing.T) {
	repository(t, "a/clip.stl", "a/gone.txt", "b/other.stl")
	put(t, "a/lid.stl", "x")
	put(t, "a/README.md", "staged")
	git(t, "rm", "-q", "a/gone.txt")
	git(t, "add", "-A")
	require.NoError(t, os.Remove("a/README.md"))
	put(t, "a/later.txt", "not staged")
	files := stagedIn(t, ".")
	var folders Folders
	list := folders.Folders(files)
	require.Len(t, list, 1, "of b nothing is staged")
	assert.Equal(t, []string{"README.md", "clip.stl", "lid.stl"}, list[0].Names)
	assert.Equal(t, []string{"README.md", "clip.stl"}, namesBeside(&folders, &files[0]))
}
