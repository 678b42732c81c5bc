package cli

import (
	"strings"
	"unicode/utf8"
)

// pageWidth is the width of explanations, in characters.
const pageWidth = 80

// wrap lays text out in lines of at most pageWidth, each set in by indent, however it was broken before.
func wrap(text, indent string) string {
	var b strings.Builder
	used := 0
	for _, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case used == 0:
			b.WriteString(indent)
			used = len(indent)
		case used+1+n > pageWidth:
			b.WriteString("\n" + indent)
			used = len(indent)
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
