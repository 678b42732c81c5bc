package repo

import (
	"crypto/sha256"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestHashesAreThoseOfGit holds the hashes of content against those that a commit lists, of
// text with other line ends and of a pointer to a large file too.
func TestHashesAreThoseOfGit(t *testing.T) {
	for _, format := range []string{"sha1", "sha256"} {
		t.Run(format, func(t *testing.T) {
			t.Chdir(t.TempDir())
			git(t, "init", "-q", "-b", "main", "--object-format="+format)
			large := []byte("a large file")
			kept := map[string]string{
				"plain.stl": "solid\n", "ends.obj": "v 0 0 0\nv 1 0 0\n", "empty.stl": "",
				"large.stl": fmt.Sprintf("version https://git-lfs.github.com/spec/v1\noid sha256:%x\nsize %d\n", sha256.Sum256(large), len(large)),
			}
			for name, text := range kept {
				require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
			}
			git(t, "add", "-A")
			git(t, "commit", "-q", "-m", "start")
			list, err := here(t).Listed("HEAD")
			require.NoError(t, err)
			require.Len(t, list, len(kept))
			there := map[string]string{"plain.stl": "solid\n", "ends.obj": "v 0 0 0\r\nv 1 0 0\r\n", "empty.stl": "", "large.stl": string(large)}
			for _, e := range list {
				assert.True(t, slices.Contains(Hashes([]byte(there[e.Path]), e.Hash), e.Hash), e.Path)
				assert.False(t, slices.Contains(Hashes([]byte("other"), e.Hash), e.Hash), e.Path)
			}
		})
	}
}
