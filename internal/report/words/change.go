package words

import (
	"fmt"

	"printlint/internal/finding"
)

// Brought says in brackets whether a change brought a finding; it is empty where nobody asked.
func Brought(f *finding.Finding) string {
	switch {
	case f.Waived != nil:
		return ""
	case f.Change == finding.New:
		return " (new)"
	case f.Change == finding.Same:
		return " (as before)"
	}
	return ""
}

// before puts what was there before behind what was not.
func before(c finding.Change) int {
	if c == finding.Same {
		return 1
	}
	return 0
}

// Compared says in one line what a change did; it is empty where nobody asked.
func Compared(r *finding.Report) string {
	c := r.Compared
	if c == nil {
		return ""
	}
	text := fmt.Sprintf("against %s (%.12s): %d new, %d gone, %d as before", Safe(c.Rev), Safe(c.Commit), c.New, c.Gone, c.Same)
	if c.FailOn == finding.FailOnNew {
		text += "; only what is new fails"
	}
	return text
}
