package repo

import (
	"crypto/sha256"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestContentsAreWhatBlobSays holds that what is read many at a time is the same as what is
// read one by one: with line ends, large files, odd names, filters, a change of content, and
// whatever order and however often it is asked for.
func TestContentsAreWhatBlobSays(t *testing.T) {
	sum := fmt.Sprintf("%x", sha256.Sum256([]byte("kept")))
	files := map[string]string{
		".gitattributes": "*.obj text eol=crlf\nlarge.stl filter=lfs -text\nodd.off filter=other\n*.off -text\nid.ply ident\n",
		"large.stl":      "version https://git-lfs.github.com/spec/v1\noid sha256:" + sum + "\nsize 4\n",
		"a.obj":          "v 0\nv 1\n", "odd.off": "OFF\n", "id.ply": "$Id$\n", "empty.stl": "", "odd\nname.stl": "name",
	}
	for i := range aheadFiles {
		files[fmt.Sprintf("m%03d.stl", i)] = fmt.Sprint("solid ", i, "\n")
	}
	made(t, map[string]string{"first": ""})
	put(t, ".git/lfs/objects/"+sum[:2]+"/"+sum[2:4]+"/"+sum, "kept")
	for name, text := range files {
		put(t, name, text)
	}
	git(t, "add", "-A")
	for name, set := range map[string][]string{"plain": nil, "filter": {"filter.other.smudge", "tr a b"}, "line ends": {"core.autocrlf", "true"}} {
		if set != nil {
			git(t, append([]string{"config"}, set...)...)
		}
		r := here(t)
		staged, err := r.Staged()
		require.NoError(t, err)
		require.Len(t, staged, len(files))
		all := r.Contents(staged)
		for i, e := range slices.Concat(staged, staged[:5]) {
			want, failure := r.Blob(e)
			text, err := all.Of(e)
			assert.Equal(t, failure, err, "%s: %s", name, e.Path)
			assert.Equal(t, string(want), string(text), "%s: %s", name, e.Path)
			if i == 0 {
				_, err := all.Of(staged[3]) // out of its turn
				require.NoError(t, err)
			}
		}
		other := staged[0]
		other.Hash = staged[1].Hash
		want, err := r.Blob(other)
		require.NoError(t, err)
		text, err := all.Of(other)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(text), "another content under the same path")
	}
}

// TestContentsReadAheadWithinBounds holds that what is never asked for does not pile up.
func TestContentsReadAheadWithinBounds(t *testing.T) {
	r := made(t, map[string]string{"first": ""})
	for i := range 40 {
		put(t, fmt.Sprintf("m%03d.stl", i), fmt.Sprintf("%0*d", aheadBytes/3, i))
	}
	git(t, "add", "-A")
	staged, err := r.Staged()
	require.NoError(t, err)
	all := r.Contents(staged)
	for i := 0; i < len(staged); i += 3 {
		text, err := all.Of(staged[i])
		require.NoError(t, err)
		assert.Len(t, text, aheadBytes/3)
		assert.LessOrEqual(t, all.held, mostAhead)
	}
	assert.NotEmpty(t, all.read, "nothing was read ahead")
}
