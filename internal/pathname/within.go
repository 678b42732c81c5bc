package pathname

import "path/filepath"

// Within reports whether a path is the folder or lies below it, by their names alone: no
// symbolic link is followed. Both are absolute or both relative, in the system's own form.
func Within(folder, path string) bool {
	rel, err := filepath.Rel(folder, path)
	return err == nil && filepath.IsLocal(rel)
}
