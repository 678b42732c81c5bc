package cli

import (
	"errors"
	"fmt"
	"strings"

	"printlint/internal/near"
	"printlint/internal/report/words"
)

// hinted is an error with a second line that says what to do about it.
type hinted struct {
	err  error
	hint string
}

// Error returns the error without its hint.
func (h *hinted) Error() string { return h.err.Error() }

// Unwrap returns the error itself.
func (h *hinted) Unwrap() error { return h.err }

// complaint words an error for standard error: the program's name before each line
// that is its own, and the hint below. Mistakes in the rules stand by themselves, each
// behind its own place.
func complaint(err error) string {
	var l *listed
	if errors.As(err, &l) {
		return l.text()
	}
	lines := strings.Split(err.Error(), "\n")
	for i := range lines {
		lines[i] = "printlint: " + words.Safe(lines[i])
	}
	var h *hinted
	if errors.As(err, &h) {
		lines = append(lines, "printlint: "+words.Safe(h.hint))
	}
	return strings.Join(lines, "\n")
}

// unknown complains about a word that is not known, and names the nearest that is, or
// where to read about all of them.
func unknown(what, word string, known []string, see string) error {
	hint := "see: " + see
	if near := near.Nearest(word, known); near != "" {
		hint = fmt.Sprintf("did you mean %s?", near)
	}
	return &hinted{fmt.Errorf("unknown %s %q", what, word), hint}
}
