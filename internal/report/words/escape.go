// Package words is how reports and commands put things: names of strangers made safe to
// show, places, numbers with their words, and the lines that several formats share.
package words

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Safe makes a name from a stranger's file fit for a terminal and a log: control
// characters, line breaks, marks that turn the direction of writing, invisible
// characters and broken UTF-8 are written as escapes, everything else as it is.
func Safe(s string) string {
	if !hasHidden(s) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case Hidden(r):
			b.WriteString(Escape(r))
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// SafeLines is Safe for text of several lines: the line breaks are ours and stay.
func SafeLines(s string) string {
	lines := strings.Split(s, "\n")
	for i := range lines {
		lines[i] = Safe(lines[i])
	}
	return strings.Join(lines, "\n")
}

func hasHidden(s string) bool {
	return !utf8.ValidString(s) || strings.IndexFunc(s, Hidden) >= 0
}

// Escape writes a rune the way JSON and Go both read it back.
func Escape(r rune) string {
	if r > 0xFFFF {
		// Beyond the basic plane JSON wants the two halves of UTF-16.
		r -= 0x10000
		return fmt.Sprintf(`\u%04x\u%04x`, 0xD800+r>>10, 0xDC00+r&0x3FF)
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// Hidden reports whether a rune would act on a terminal or deceive a reader instead
// of being seen: Unicode's control and format characters (among them the
// bidirectional marks of UAX 9), its two separators, and private use.
func Hidden(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co)
}
