package words

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Capital begins words of our own, which are in English, with a capital.
func Capital(s string) string {
	if s != "" && s[0] >= 'a' && s[0] <= 'z' {
		return string(s[0]-'a'+'A') + s[1:]
	}
	return s
}

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
