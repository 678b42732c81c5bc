// Package pathname knows how the paths of models are written: by the globs that a
// configuration matches them with, and by the names that reports show.
//
// There is one matcher for all globs, so that include, exclude, places and waivers
// mean the same by the same words.
package pathname

import (
	"path"
	"strings"

	"github.com/bmatcuk/doublestar/v4"
)

// Inside marks where a path enters a container: pack.zip!/models/clip.stl.
const Inside = "!/"

// Match reports whether a glob means the path of a model. It does when
//
//   - it matches the path, or is the path letter by letter: brackets in it may also
//     stand for themselves, since [a]_part.stl is how many shelves name their files;
//   - it matches a container that the path lies in;
//   - it names a folder above: it ends with a slash, or its last part has no
//     wildcard, so that soft, soft/ and soft/** mean the same.
//
// Extensions match in any case: many programs write CLIP.STL. All else is exact.
func Match(glob, p string) bool {
	g := newPattern(glob)
	if glob == p || g.match(p) {
		return true
	}
	for i := 0; i < len(p); i++ {
		switch {
		case p[i] == '!' && strings.HasPrefix(p[i:], Inside):
			if g.match(p[:i]) {
				return true
			}
		case p[i] == '/' && i > 0 && g.folder && p[i-1] != '!':
			if g.match(p[:i]) {
				return true
			}
		}
	}
	return false
}

// MatchAny reports whether one of the globs means the path.
func MatchAny(globs []string, p string) bool {
	for _, g := range globs {
		if Match(g, p) {
			return true
		}
	}
	return false
}

// Below reports whether one of the globs means the path or a folder above it, as a
// walk that goes no further finds: what is left out is left out with all below it.
func Below(globs []string, p string) bool {
	for ; p != "." && p != "/" && p != ".."; p = path.Dir(p) {
		if MatchAny(globs, p) {
			return true
		}
	}
	return false
}

// pattern is a glob in the ways it is tried.
type pattern struct {
	globs  []string
	folder bool // it may name a folder, and then means what lies below
}

func newPattern(glob string) pattern {
	name := strings.TrimRight(glob, "/")
	if name == "" {
		name = glob
	}
	last := name[strings.LastIndexByte(name, '/')+1:]
	p := pattern{globs: []string{name}, folder: name != glob || !strings.ContainsAny(last, `*?{\`)}
	add := func(g string) {
		if g != p.globs[len(p.globs)-1] {
			p.globs = append(p.globs, g)
		}
	}
	add(plainBrackets(name))
	for _, g := range p.globs {
		add(foldExt(g))
	}
	return p
}

func (p pattern) match(name string) bool {
	folded := foldExt(name)
	for _, g := range p.globs {
		if ok, _ := doublestar.Match(g, name); ok {
			return true
		}
		if folded == name {
			continue
		}
		if ok, _ := doublestar.Match(g, folded); ok {
			return true
		}
	}
	return false
}

// plainBrackets makes the brackets of a glob stand for themselves.
func plainBrackets(glob string) string {
	if !strings.ContainsRune(glob, '[') {
		return glob
	}
	var b strings.Builder
	for i := 0; i < len(glob); i++ {
		switch c := glob[i]; {
		case c == '\\' && i+1 < len(glob):
			b.WriteString(glob[i : i+2])
			i++
		case c == '[' || c == ']':
			b.WriteByte('\\')
			b.WriteByte(c)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

// foldExt writes the extensions of a path, or of a glob that spells them out, in lower
// case: that of the file and those of the containers it lies in.
func foldExt(p string) string {
	parts := strings.Split(p, Inside)
	for i := range parts {
		parts[i] = foldLast(parts[i])
	}
	return strings.Join(parts, Inside)
}

// foldLast folds the last extension, and the one before it in .stl.gz.
func foldLast(p string) string {
	ext := lastExt(p)
	if strings.EqualFold(ext, ".gz") {
		ext = lastExt(p[:len(p)-len(ext)]) + ext
	}
	return p[:len(p)-len(ext)] + strings.ToLower(ext)
}

// lastExt is the extension, empty where it is not spelled out in letters and digits,
// with or without braces around several.
func lastExt(p string) string {
	ext := path.Ext(p)
	for _, c := range ext {
		if c != '.' && c != '{' && c != '}' && c != ',' && (c < '0' || c > '9') && (c|0x20 < 'a' || c|0x20 > 'z') {
			return ""
		}
	}
	return ext
}
