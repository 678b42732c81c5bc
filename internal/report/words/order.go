package words

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Order is what to do, as a sentence on a line of its own, where it begins with a capital.
// A workflow obeys lines that begin with two colons, so that words which do get one of
// ours in front.
func Order(do string) string {
	if commands(do) {
		return "do: " + Safe(do)
	}
	first, n := utf8.DecodeRuneInString(do)
	if word, _, _ := strings.Cut(do, " "); strings.ContainsAny(word, "./_=") || strings.ToLower(word) != word || first == utf8.RuneError {
		return Safe(do) // a name, which is written as it is
	}
	return Safe(string(unicode.ToUpper(first)) + do[n:])
}
