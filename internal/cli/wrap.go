package cli

import (
	"strings"
	"unicode/utf8"
)

// The width of explanations, in characters, and how far they are set in.
const (
	pageWidth  = 80
	pageIndent = "  "
)

// wrap lays text out in lines of at most pageWidth, however it was broken before.
func wrap(text string) string {
	var b strings.Builder
	used := 0
	for _, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case used == 0:
			b.WriteString(pageIndent)
			used = len(pageIndent)
		case used+1+n > pageWidth:
			b.WriteString("\n" + pageIndent)
			used = len(pageIndent)
		default:
			b.WriteByte(' ')
			used++
		}
		b.WriteString(word)
		used += n
	}
	if used > 0 {
		b.WriteByte('\n')
	}
	return b.String()
}
