package collection

import (
	"archive/zip"
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFilesOfARevision(t *testing.T) {
	repository(t, "a.stl", "parts/b.stl")
	var pack bytes.Buffer
	z := zip.NewWriter(&pack)
	for _, name := range []string{"in/c.stl", "d.stl"} {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write([]byte(name))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	put(t, "p.zip", pack.String())
	require.NoError(t, os.Symlink("a.stl", "link.stl"))
	git(t, "add", "-A")
	git(t, "commit", "-q", "-m", "pack")
	put(t, "a.stl", "later")
	own, err := Repository([]string{"."})
	require.NoError(t, err)
	at := func(name string) ([]File, error) { return AtRevision(own, "HEAD", name, Options{Base: own.Top}) }
	files, err := at("a.stl")
	require.NoError(t, err)
	require.Len(t, files, 1)
	assert.Equal(t, "HEAD:a.stl", files[0].Path)
	assert.Equal(t, "a.stl", files[0].Rules)
	assert.Equal(t, "a.stl", read(t, files[0]), "as it was committed")
	files, err = at("p.zip")
	require.NoError(t, err)
	assert.Equal(t, []string{"HEAD:p.zip!/d.stl", "HEAD:p.zip!/in/c.stl"}, paths(files))
	files, err = at("p.zip!/in")
	require.NoError(t, err)
	assert.Equal(t, []string{"HEAD:p.zip!/in/c.stl"}, paths(files))
	for name, complaint := range map[string]string{
		"gone.stl": "there is no gone.stl in it", "parts": "is a folder or a link", "link.stl": "is a folder or a link", "p.zip!/e.stl": "holds no model e.stl",
	} {
		_, err = at(name)
		assert.ErrorContains(t, err, complaint, name)
	}
	_, err = AtRevision(own, "nowhere", "a.stl", Options{})
	assert.ErrorContains(t, err, `there is no revision "nowhere"`)
	t.Chdir("parts")
	for _, name := range []string{"b.stl", "parts/b.stl", "../a.stl", "a.stl"} {
		_, err = at(name)
		assert.NoError(t, err, name)
	}
}

func TestNamesOfRevisions(t *testing.T) {
	tree(t, "odd:name.stl")
	for name, want := range map[string][2]string{
		"main:a.stl": {"main", "a.stl"}, "HEAD~1:p.zip!/b.stl": {"HEAD~1", "p.zip!/b.stl"},
		"a.stl": {}, "odd:name.stl": {}, `c:\a.stl`: {}, "main:": {}, "p.zip!/a:b.stl": {},
	} {
		rev, file, ok := Revision(name)
		assert.Equal(t, want != [2]string{}, ok, name)
		assert.Equal(t, want, [2]string{rev, file}, name)
	}
}
