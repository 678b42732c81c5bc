package report

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWriteFileIsWholeOrNotAtAll(t *testing.T) {
	path := filepath.Join(t.TempDir(), "report.json")
	broken := errors.New("broken")
	err := WriteFile(path, func(w io.Writer) error {
		_, err := io.WriteString(w, "half")
		require.NoError(t, err)
		return broken
	})
	assert.ErrorIs(t, err, broken)
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Empty(t, left, "nothing stays behind")

	for _, text := range []string{"first", "second"} {
		require.NoError(t, WriteFile(path, func(w io.Writer) error {
			_, err := io.WriteString(w, text)
			return err
		}))
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, text, string(got))
	}
	left, err = os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, left, 1)
}

func TestWriteFileNamesTheFolderThatIsMissing(t *testing.T) {
	assert.ErrorIs(t, WriteFile(filepath.Join(t.TempDir(), "gone", "r.json"), nil), os.ErrNotExist)
}

// TestAPrivateFileStaysPrivate holds that a file is written with its mode, and not opened up
// before it has it.
func TestAPrivateFileStaysPrivate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.json")
	require.NoError(t, WriteFileAs(path, 0o600, func(w io.Writer) error {
		_, err := io.WriteString(w, "mine")
		return err
	}))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}
