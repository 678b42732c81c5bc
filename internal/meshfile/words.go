package meshfile

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"

	"printlint/internal/pathname"
)

// quoted returns a word of a file fit for a message: short, printable, in quotes.
func quoted[T []byte | string](w T) string {
	if len(w) == 0 {
		return "nothing"
	}
	return pathname.Quoted(string(w), 24)
}

// nameOf returns a name that people gave, in UTF-8 and not longer than maxName.
func nameOf(b []byte) string {
	s := strings.ToValidUTF8(string(b[:min(len(b), utf8.UTFMax*maxName)]), "\uFFFD")
	if r := []rune(s); len(r) > maxName {
		s = string(r[:maxName-1]) + "…"
	}
	return s
}

// badNumber says why a word is no coordinate.
func badNumber(line int, w []byte) error {
	if w == nil {
		return atLine(line, cureAgain, "the file ends where a number was expected")
	}
	if bytes.IndexByte(w, ',') >= 0 {
		if _, ok := parse32(bytes.Replace(w, []byte(","), []byte("."), 1)); ok {
			return atLine(line, "export it with a decimal point", "%s has a decimal comma", quoted(w))
		}
	}
	if x, err := strconv.ParseFloat(string(w), 32); err == nil && x-x != 0 {
		return atLine(line, cureAgain, "the coordinate %s is %s", quoted(w), notFinite(x))
	}
	if _, ok := parse32(w); ok {
		return atLine(line, cureAgain, "the coordinate %s is too large to be a length", quoted(w))
	}
	return atLine(line, cureAgain, "expected a number, found %s", quoted(w))
}
