package collection

import (
	"path"
	"strings"

	"github.com/bmatcuk/doublestar/v4"
)

// globs decides by the configuration's include and exclude patterns.
type globs struct{ include, exclude []string }

// included reports whether the path is one of the collection's models.
func (g globs) included(p string) bool { return matchAny(g.include, p) }

// excluded reports whether the path, or a folder above it, is left out.
func (g globs) excluded(p string) bool {
	for ; p != "." && p != "/" && p != ".."; p = path.Dir(p) {
		if matchAny(g.exclude, p) {
			return true
		}
	}
	return false
}

// matchAny tries every pattern on the path as it is and with its extension in lower
// case: many programs write CLIP.STL, and a gate must not overlook it.
func matchAny(patterns []string, p string) bool {
	ext := path.Ext(p)
	lower := p[:len(p)-len(ext)] + strings.ToLower(ext)
	for _, pattern := range patterns {
		if ok, _ := doublestar.Match(pattern, p); ok {
			return true
		}
		if ok, _ := doublestar.Match(pattern, lower); ok {
			return true
		}
	}
	return false
}
