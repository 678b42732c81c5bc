package collection

import (
	"archive/zip"
	"bytes"
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
	assert.Equal(t, []string{"LICENSE"}, folders.Beside(&files[0]))
	assert.Empty(t, folders.Beside(&files[1]))
	assert.Equal(t, []string{"README.md"}, folders.Beside(&files[2]), "the one in the pack")
	require.NoError(t, os.Remove(filepath.Join(dir, "a/LICENSE")))
	assert.Equal(t, []string{"LICENSE"}, folders.Beside(&files[0]), "a run reads a folder once")
	fresh := New("a.stl", "a.stl", 0, nil)
	assert.Empty(t, folders.Beside(&fresh))
}
