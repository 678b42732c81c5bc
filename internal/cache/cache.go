// Package cache keeps results in a folder between runs, so that what has not changed
// is not computed again.
//
// An entry is found by a key that its user makes of everything the result depends on.
// Several runs may use one folder at the same time: an entry appears whole or not at
// all, and says of itself whether it is. What a writer that was killed left behind is
// cleared away later. Nothing breaks when an entry, or the folder, vanishes.
//
// Whoever can write to the folder decides what is found in it: keep it where only
// those can who may also change the program.
package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"

	"printlint/internal/report"
)

// Standard bounds the folder, in bytes: some ten thousands of results.
const Standard = 256 << 20

// mark is the first line of the file that tells the folder from others. Nothing is
// ever deleted from a folder without it.
const mark = "results that printlint keeps; this folder may be deleted at any time\n"

const markName = "README"

// Cache is a folder of results. It is safe for concurrent use.
type Cache struct {
	dir   string
	limit int64
	wrote atomic.Bool
}

// Untrusted is the error of a folder that somebody else may have written to.
type Untrusted struct{ Why string }

// Error returns why.
func (u *Untrusted) Error() string { return u.Why }

// Open takes a folder into use and makes it where it is missing. The limit is in bytes.
// One that belongs to another user, or that others may write to, is Untrusted.
func Open(dir string, limit int64) (*Cache, error) {
	if err := trusted(dir); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	// Somebody else may have made it in between.
	if err := trusted(dir); err != nil {
		return nil, err
	}
	c := &Cache{dir: dir, limit: limit}
	path := filepath.Join(dir, markName)
	text, err := os.ReadFile(path)
	switch {
	case err == nil && string(text) == mark:
		return c, nil
	case err == nil || !errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s holds something else; name another folder", dir)
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) > 0 && !ours(list) {
		return nil, fmt.Errorf("%s holds something else; name an empty folder", dir)
	}
	return c, report.WriteFile(path, func(w io.Writer) error {
		_, err := io.WriteString(w, mark)
		return err
	})
}

// ours says that a folder holds nothing but what another run is just laying out.
func ours(list []fs.DirEntry) bool {
	for _, e := range list {
		if e.Name() != markName && !temporary(e.Name()) && !isShelf(e.Name()) {
			return false
		}
	}
	return true
}

// Key makes a key of everything that a result depends on.
func Key(parts ...string) string {
	h := sha256.New()
	for _, p := range parts {
		fmt.Fprintf(h, "%d:%s", len(p), p)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// path is where an entry lies: on a shelf by the first two digits, so that no folder
// gets long.
func (c *Cache) path(key string) string { return filepath.Join(c.dir, key[:2], key) }

// Get returns the result kept under a key made by Key. What was damaged counts as not
// there.
func (c *Cache) Get(key string) ([]byte, bool) {
	path := c.path(key)
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, false
	}
	if len(data) < sha256.Size || !bytes.Equal(data[:sha256.Size], sum(key, data[sha256.Size:])) {
		os.Remove(path)
		return nil, false
	}
	// What is used stays: the time of the file is that of its last use. A result is
	// as good when that cannot be written down.
	now := time.Now()
	_ = os.Chtimes(path, now, now)
	return data[sha256.Size:], true
}

// sum is what an entry begins with: the hash of its key and of the result.
func sum(key string, data []byte) []byte {
	h := sha256.New()
	io.WriteString(h, key)
	h.Write(data)
	return h.Sum(nil)
}

// Put keeps a result.
func (c *Cache) Put(key string, data []byte) error {
	path := c.path(key)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	c.wrote.Store(true)
	return report.WriteFile(path, func(w io.Writer) error {
		if _, err := w.Write(sum(key, data)); err != nil {
			return err
		}
		_, err := w.Write(data)
		return err
	})
}
