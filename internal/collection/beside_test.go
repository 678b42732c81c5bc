package collection

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhatStandsBeside lists the other files of a folder and of a folder in a pack, and no
// folders.
func TestWhatStandsBeside(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, data []byte) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
	var pack bytes.Buffer
	z := zip.NewWriter(&pack)
	for _, name := range []string{"in/clip.stl", "in/README.md", "in/deeper/more.txt", "top.txt"} {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte("x"))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	write("a/clip.stl", nil)
	write("a/LICENSE", nil)
	write("a/sub/note.txt", nil)
	write("b/plate.stl", nil)
	write("p/pack.zip", pack.Bytes())
	write("p/README.md", nil)
	files, err := Find([]string{dir}, Options{Base: dir, Include: []string{"**/*.{stl,zip}"}})
	require.NoError(t, err)
	require.Len(t, files, 3)
	var folders Folders
	beside := func(f *File) (list []string) { return namesBeside(&folders, f) }
	assert.Equal(t, []string{"LICENSE"}, beside(&files[0]))
	assert.Empty(t, beside(&files[1]))
	assert.Equal(t, []string{"README.md"}, beside(&files[2]), "the one in the pack")
	require.NoError(t, os.Remove(filepath.Join(dir, "a/LICENSE")))
	assert.Equal(t, []string{"LICENSE"}, beside(&files[0]), "a run reads a folder once")
	fresh := New("a.stl", "a.stl", 0, nil)
	assert.Empty(t, beside(&fresh))
}

// namesBeside lists the names that are found beside a file, each asked for by itself.
func namesBeside(s *Folders, f *File) (list []string) {
	for _, name := range s.all(f) {
		if s.Beside(f, "is "+name, func(n string) bool { return n == name }) {
			list = append(list, name)
		}
	}
	return list
}

// TestAFolderIsLookedThroughOnce holds that however many models lie in a folder, each of its
// names is tested once for the same words, and that a model is not beside itself.
func TestAFolderIsLookedThroughOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	for i := range 50 {
		require.NoError(t, os.WriteFile(fmt.Sprintf("m%02d.stl", i), nil, 0o666))
	}
	files, err := Find([]string{"."}, Options{Include: []string{"*.stl"}})
	require.NoError(t, err)
	require.Len(t, files, 50)
	var folders Folders
	tested := 0
	for i := range files {
		only := folders.Beside(&files[i], `beside("m07*")`, func(name string) bool { tested++; return name == "m07.stl" })
		assert.Equal(t, i != 7, only)
	}
	assert.Equal(t, 50, tested)
}
