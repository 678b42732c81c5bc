package cache

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func open(t *testing.T, dir string, limit int64) *Cache {
	t.Helper()
	c, err := Open(dir, limit)
	require.NoError(t, err)
	return c
}

// files lists what lies in a cache, its own mark aside.
func files(t *testing.T, dir string) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(dir, "??", "*"))
	require.NoError(t, err)
	hidden, err := filepath.Glob(filepath.Join(dir, "??", ".*"))
	require.NoError(t, err)
	return append(list, hidden...)
}

func TestWhatIsPutIsGot(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "er")
	c := open(t, dir, Standard)
	for _, data := range [][]byte{{}, []byte("x"), bytes.Repeat([]byte("long "), 1<<16)} {
		key := Key("content", fmt.Sprint(len(data)))
		_, ok := c.Get(key)
		assert.False(t, ok)
		require.NoError(t, c.Put(key, data))
		got, ok := open(t, dir, Standard).Get(key)
		assert.True(t, ok)
		assert.True(t, bytes.Equal(data, got))
	}
	require.NoError(t, c.Put(Key("a"), []byte("one")))
	require.NoError(t, c.Put(Key("a"), []byte("two")))
	got, _ := c.Get(Key("a"))
	assert.Equal(t, "two", string(got))
}

func TestKeysTellPartsApart(t *testing.T) {
	seen := map[string]bool{}
	for _, parts := range [][]string{{}, {""}, {"", ""}, {"a"}, {"ab"}, {"a", "b"}, {"b", "a"}, {"a", "", "b"}, {"1:a"}, {"a", "1:b"}} {
		key := Key(parts...)
		assert.Len(t, key, 64)
		assert.False(t, seen[key], "%q", parts)
		seen[key] = true
	}
}

// TestDamageIsFoundOut changes every byte of an entry, cuts it anywhere, and puts it
// under another key.
func TestDamageIsFoundOut(t *testing.T) {
	c := open(t, t.TempDir(), Standard)
	key := Key("x")
	require.NoError(t, c.Put(key, []byte("a result")))
	whole, err := os.ReadFile(c.path(key))
	require.NoError(t, err)
	refused := func(key string, data []byte) {
		require.NoError(t, os.MkdirAll(filepath.Dir(c.path(key)), 0o777))
		require.NoError(t, os.WriteFile(c.path(key), data, 0o666))
		_, ok := c.Get(key)
		assert.False(t, ok)
		assert.NoFileExists(t, c.path(key), "what is damaged goes")
	}
	for i := range whole {
		bad := bytes.Clone(whole)
		bad[i] ^= 1
		refused(key, bad)
		refused(key, whole[:i])
	}
	refused(Key("y"), whole)
}

func TestTheOldestGoFirst(t *testing.T) {
	c := open(t, t.TempDir(), 5*(32+100))
	base := time.Now().Add(-time.Hour)
	var keys []string
	for i := range 10 {
		keys = append(keys, Key(fmt.Sprint(i)))
		require.NoError(t, c.Put(keys[i], make([]byte, 100)))
		at := base.Add(time.Duration(i) * time.Second)
		require.NoError(t, os.Chtimes(c.path(keys[i]), at, at))
	}
	_, ok := c.Get(keys[0]) // used just now
	require.True(t, ok)
	c.Trim()
	for i, key := range keys {
		_, ok := c.Get(key)
		assert.Equal(t, i == 0 || i >= 6, ok, "entry %d", i)
	}
}

func TestOfTheSameAgeTheFirstKeyGoes(t *testing.T) {
	at := time.Now().Add(-time.Hour).Truncate(time.Second)
	var left [2][]string
	for round := range left {
		dir := t.TempDir()
		c := open(t, dir, 3*(32+10))
		for i := range 8 {
			if round == 1 {
				i = 7 - i
			}
			key := Key(fmt.Sprint(i))
			require.NoError(t, c.Put(key, make([]byte, 10)))
			require.NoError(t, os.Chtimes(c.path(key), at, at))
		}
		c.Trim()
		for _, f := range files(t, dir) {
			left[round] = append(left[round], filepath.Base(f))
		}
	}
	require.Len(t, left[0], 3)
	assert.Equal(t, left[0], left[1])
}

func TestKilledWritersLeaveNothingForLong(t *testing.T) {
	dir := t.TempDir()
	c := open(t, dir, Standard)
	require.NoError(t, c.Put(Key("a"), []byte("x")))
	fresh, old := c.path("."+Key("a"))+".1", filepath.Join(dir, Key("a")[:2], "."+Key("a")+".2")
	fresh = filepath.Join(dir, Key("a")[:2], filepath.Base(fresh))
	for _, path := range []string{fresh, old} {
		require.NoError(t, os.WriteFile(path, []byte("half"), 0o666))
	}
	past := time.Now().Add(-2 * abandoned)
	require.NoError(t, os.Chtimes(old, past, past))
	c.Trim()
	assert.FileExists(t, fresh, "its writer may be at work")
	assert.NoFileExists(t, old)
	_, ok := c.Get(Key("a"))
	assert.True(t, ok)
}

func TestForeignFoldersAreLeftAlone(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "thesis.txt"), []byte("x"), 0o666))
	_, err := Open(dir, Standard)
	assert.ErrorContains(t, err, "holds something else")
	other := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(other, markName), []byte("read me"), 0o666))
	_, err = Open(other, Standard)
	assert.ErrorContains(t, err, "holds something else")
	mine := t.TempDir()
	c := open(t, mine, 0)
	require.NoError(t, c.Put(Key("a"), []byte("x")))
	stranger := filepath.Join(mine, Key("a")[:2], "notes.txt")
	require.NoError(t, os.WriteFile(stranger, []byte("x"), 0o666))
	c.Trim()
	assert.FileExists(t, stranger, "only entries are ever deleted")
	_, ok := c.Get(Key("a"))
	assert.False(t, ok)
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	_, err = Open(file, Standard)
	assert.Error(t, err)
}

// TestManyAtOnce lets many write, read and trim the same few entries: whatever is got is
// whole.
func TestManyAtOnce(t *testing.T) {
	dir := t.TempDir()
	var all sync.WaitGroup
	for w := range 8 {
		all.Go(func() {
			c, err := Open(dir, 4<<10)
			if !assert.NoError(t, err) {
				return
			}
			for i := range 60 {
				n := (i*7 + w) % 12
				key, want := Key(fmt.Sprint(n)), bytes.Repeat([]byte{byte(n)}, 900+n)
				if got, ok := c.Get(key); ok {
					assert.Equal(t, want, got)
				}
				assert.NoError(t, c.Put(key, want))
				if i%10 == 0 {
					c.Trim()
				}
			}
		})
	}
	all.Wait()
	c := open(t, dir, 4<<10)
	require.NoError(t, c.Put(Key("last"), nil))
	c.Trim()
	assert.LessOrEqual(t, len(files(t, dir)), 5)
}

func TestTheProgramIsKnownByItsBytes(t *testing.T) {
	a, err := Program()
	require.NoError(t, err)
	assert.Len(t, a, 64)
	b, err := Program()
	require.NoError(t, err)
	assert.Equal(t, a, b)
	path, err := os.Executable()
	require.NoError(t, err)
	out, err := exec.Command("sha256sum", path).Output()
	require.NoError(t, err)
	assert.Equal(t, a, string(out[:64]), "as another program counts it")
}
