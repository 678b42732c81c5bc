package collection

import "printlint/internal/pathname"

// globs decides by the configuration's include and exclude patterns.
type globs struct{ include, exclude []string }

// included reports whether the path is one of the collection's models.
func (g globs) included(p string) bool { return pathname.MatchAny(g.include, p) }

// excluded reports whether the path, or a folder above it, is left out.
func (g globs) excluded(p string) bool { return pathname.Below(g.exclude, p) }
