package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestListsOfOtherSystems holds that the mark of the encoding and the ends of lines that other
// systems write are no part of a name.
func TestListsOfOtherSystems(t *testing.T) {
	list := filepath.Join(t.TempDir(), "list.txt")
	require.NoError(t, os.WriteFile(list, []byte("\ufeffa b.stl\r\n\r\nc.stl\r\n"), 0o666))
	names, err := namesFrom(Env{}, list)
	require.NoError(t, err)
	assert.Equal(t, []string{"a b.stl", "c.stl"}, names)
}
