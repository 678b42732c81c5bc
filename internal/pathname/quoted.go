package pathname

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Quoted returns a word of a stranger's file fit for a message: printable, in quotes, and
// no longer than so many characters.
func Quoted(word string, most int) string {
	s := []rune(strings.ToValidUTF8(word[:min(len(word), utf8.UTFMax*(most+1))], string(utf8.RuneError)))
	if len(s) > most {
		s = append(s[:most], '…')
	}
	return strconv.Quote(string(s))
}
