package pathname

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Shown writes a path of the file system the way reports show it and rules name it:
// valid UTF-8 in which only a container is followed by the mark Inside. What is neither
// is written as \x and two digits: a byte that is no UTF-8, and the exclamation mark of
// a folder called plate.3mf!. Two different paths stay different: where a path holds
// such an escape, or one that was there before, its own backslashes are doubled. All
// other paths are written as they are.
func Shown(p string) string {
	if utf8.ValidString(p) && !strings.Contains(p, Inside) && !escaped(p) {
		return p
	}
	var b strings.Builder
	for i, r := range p {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(p[i:], "\uFFFD"), r == '!' && strings.HasPrefix(p[i:], Inside):
			fmt.Fprintf(&b, `\x%02x`, p[i])
		case r == '\\':
			b.WriteString(`\\`)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// escaped reports whether a path holds what reads like an escape of Shown.
func escaped(p string) bool {
	for {
		_, rest, found := strings.Cut(p, `\x`)
		if !found {
			return false
		}
		if len(rest) >= 2 && isHex(rest[0]) && isHex(rest[1]) {
			return true
		}
		p = rest
	}
}

func isHex(c byte) bool { return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' }
