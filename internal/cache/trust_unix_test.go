//go:build unix

package cache

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFolderOfAnotherUser holds that a cache that somebody else made is left alone.
func TestFolderOfAnotherUser(t *testing.T) {
	dir := t.TempDir()
	info, err := os.Stat(dir)
	require.NoError(t, err)
	require.NoError(t, owned(info, os.Geteuid()))
	var untrusted *Untrusted
	require.ErrorAs(t, owned(info, os.Geteuid()+1), &untrusted)
	assert.Contains(t, untrusted.Why, "it belongs to another user")
}
