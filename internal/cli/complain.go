package cli

import (
	"errors"
	"fmt"
	"strings"

	"printlint/internal/report"
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
		lines[i] = "printlint: " + report.Safe(lines[i])
	}
	var h *hinted
	if errors.As(err, &h) {
		lines = append(lines, "printlint: "+report.Safe(h.hint))
	}
	return strings.Join(lines, "\n")
}

// unknown complains about a word that is not known, and names the nearest that is, or
// where to read about all of them.
func unknown(what, word string, known []string, see string) error {
	hint := "see: " + see
	if near := nearest(word, known); near != "" {
		hint = fmt.Sprintf("did you mean %s?", near)
	}
	return &hinted{fmt.Errorf("unknown %s %q", what, word), hint}
}

// nearest returns the known word that takes the fewest edits, if that is few enough
// for a slip of the finger: a third of the word's length.
func nearest(word string, known []string) string {
	best, least := "", len(word)/3+1
	for _, k := range known {
		if d := edits(word, k); d < least || d == least && best == "" {
			best, least = k, d
		}
	}
	return best
}

// edits is the Levenshtein distance between two words.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost = 1 + min(diagonal, row[j], row[j+1])
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(b)]
}
