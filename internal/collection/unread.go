package collection

import (
	"cmp"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"printlint/internal/meshfile"
)

// unread are the extensions of files that often hold models, or packs of them, and that
// are not read: no triangles, no mesh of one body for a printer, or another kind of pack.
var unread = []string{
	".step", ".stp", ".stpz", ".iges", ".igs", ".brep", ".brp", ".x_t", ".x_b", ".sat", ".scad", ".jscad", ".fcstd", ".f3d", ".f3z",
	".sldprt", ".sldasm", ".ipt", ".iam", ".3dm", ".skp", ".blend", ".glb", ".gltf", ".fbx", ".dae", ".3ds", ".wrl", ".x3d", ".usdz",
	".7z", ".rar", ".tbz2", ".txz", ".tzst",
}

// packers are extensions of one packed file that are not read, behind its own.
var packers = []string{".gz", ".bz2", ".xz", ".zst", ".lzma"}

// looksUnread returns by what extension a file that no glob takes looks like a model, or
// a pack of models, or nothing.
func looksUnread(name string) string {
	ext := strings.ToLower(path.Ext(name))
	if slices.Contains(unread, ext) || ext == ".tar" || ext == ".tgz" {
		return ext
	}
	if !slices.Contains(packers, ext) {
		return ""
	}
	inner := strings.ToLower(path.Ext(name[:len(name)-len(ext)]))
	if inner == "" || inner == ".tar" || inner == ".zip" || meshfile.Known(inner) || slices.Contains(unread, inner) {
		return inner + ext
	}
	return ""
}

// LooksLikeModel says that a file, by its name, holds a model or a pack of models, whether
// or not it can be read.
func LooksLikeModel(name string) bool {
	return meshfile.Known(name) || isPack(name) || looksUnread(name) != ""
}

// extensionCount counts files that look like models and are not read, by extension.
type extensionCount map[string]int

func (t extensionCount) add(name string) { t[looksUnread(name)]++ }

// words is the tally in one line, the most frequent first.
func (t extensionCount) words() string {
	list := slices.SortedFunc(maps.Keys(t), func(a, b string) int {
		return cmp.Or(cmp.Compare(t[b], t[a]), cmp.Compare(a, b))
	})
	total := 0
	var parts []string
	for _, ext := range list {
		total += t[ext]
		parts = append(parts, fmt.Sprintf("%d %s", t[ext], ext))
	}
	what := "files look like models and are not read"
	if total == 1 {
		what = "file looks like a model and is not read"
	}
	return fmt.Sprintf("%d %s: %s", total, what, strings.Join(parts, ", "))
}
