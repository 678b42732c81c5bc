//go:build unix

package repo

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPipesInPlaceOfRules holds that a pipe which git would read for ever is refused where
// it is seen beforehand, and ends with git's patience where not.
func TestPipesInPlaceOfRules(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a", "sub/b.stl": "b"})
	require.NoError(t, syscall.Mkfifo("sub/.gitignore", 0o666))
	_, err := r.Ignored([]string{"a.stl", "sub/c.stl"})
	assert.EqualError(t, err, "sub/.gitignore is a pipe or device; remove it")
	s, err := r.open(200 * time.Millisecond)
	require.NoError(t, err)
	defer s.close()
	start := time.Now()
	_, err = s.list(nil, "ls-files", "-z", "--others", "--exclude-standard")
	assert.ErrorContains(t, err, "git ls-files gave no answer within 200ms")
	assert.Less(t, time.Since(start), 20*time.Second)
}

// TestPipesInPlaceOfGitsOwnFiles holds that none of the files that lead to a repository is
// waited for.
func TestPipesInPlaceOfGitsOwnFiles(t *testing.T) {
	for _, name := range []string{".git/config", ".git/index", ".git/packed-refs", ".git/info/exclude", ".git/shallow", ".git/FETCH_HEAD", ".git/commondir"} {
		r := made(t, map[string]string{"a.stl": "a"})
		_ = os.Remove(name)
		require.NoError(t, syscall.Mkfifo(name, 0o666))
		start := time.Now()
		_, _ = r.Ignored([]string{"b.stl"})
		_, _ = r.Changed("main")
		_, _ = r.Staged()
		assert.Less(t, time.Since(start), 20*time.Second, name)
	}
}

// TestToldToEnd holds that git ends with us, and that nothing of ours is left.
func TestToldToEnd(t *testing.T) {
	r := made(t, map[string]string{"a.stl": "a"})
	require.NoError(t, syscall.Mkfifo(".gitignore", 0o666))
	caught := make(chan os.Signal, 100) // between two commands nobody else would
	signal.Notify(caught, syscall.SIGTERM)
	defer signal.Stop(caught)
	over := make(chan bool)
	defer close(over)
	go func() {
		for {
			select {
			case <-over:
				return
			case <-time.After(300 * time.Millisecond):
				_ = syscall.Kill(os.Getpid(), syscall.SIGTERM)
			}
		}
	}()
	start := time.Now()
	_, err := r.Changed("main")
	assert.ErrorIs(t, err, context.Canceled)
	assert.Less(t, time.Since(start), 20*time.Second)
	assert.Empty(t, leftovers(t))
}
