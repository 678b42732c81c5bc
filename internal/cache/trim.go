package cache

import (
	"cmp"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// abandoned is the age from which a temporary file has no writer any more.
const abandoned = time.Hour

// storedResult is one file of the folder.
type storedResult struct {
	path string
	size int64
	used time.Time
}

// Trim deletes the results that were not used for longest until the rest is within
// the limit; of two used at the same time, the one whose key comes first. It does
// nothing when this run kept nothing new. Errors are passed over: another run may be
// deleting the same.
func (c *Cache) Trim() {
	if !c.wrote.Load() {
		return
	}
	var list []storedResult
	var total int64
	c.each(func(path string, info fs.FileInfo) {
		if temporary(info.Name()) {
			if time.Since(info.ModTime()) > abandoned {
				os.Remove(path)
			}
			return
		}
		list = append(list, storedResult{path, info.Size(), info.ModTime()})
		total += info.Size()
	})
	slices.SortFunc(list, func(a, b storedResult) int {
		return cmp.Or(a.used.Compare(b.used), cmp.Compare(a.path, b.path))
	})
	for _, k := range list {
		if total <= c.limit {
			return
		}
		os.Remove(k.path)
		total -= k.size
	}
}

// each visits every file on the shelves, and no other.
func (c *Cache) each(visit func(path string, info fs.FileInfo)) {
	shelves, _ := os.ReadDir(c.dir)
	for _, s := range shelves {
		if !s.IsDir() || !isShelf(s.Name()) {
			continue
		}
		folder := filepath.Join(c.dir, s.Name())
		files, _ := os.ReadDir(folder)
		for _, f := range files {
			if info, err := f.Info(); err == nil && info.Mode().IsRegular() && ownName(s.Name(), f.Name()) {
				visit(filepath.Join(folder, f.Name()), info)
			}
		}
	}
}

// isShelf, ownName and temporary know the names that a cache makes: two digits, a key,
// and a key with a dot before and something behind while it is being written.
func isShelf(name string) bool { return len(name) == 2 && isHex(name) }

func ownName(shelf, name string) bool {
	key, _, _ := strings.Cut(strings.TrimPrefix(name, "."), ".")
	return len(key) == 64 && isHex(key) && strings.HasPrefix(key, shelf)
}

func temporary(name string) bool { return strings.HasPrefix(name, ".") }

func isHex(s string) bool { return strings.Trim(s, "0123456789abcdef") == "" }
