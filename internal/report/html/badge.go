package html

import "printlint/internal/finding"

// badge is a sign in the colour of its class, whose shape says the same: six sides for an
// error, a square for a warning, a ring for a note, a tick for what is clean.
type badge struct {
	Class  string // empty where there is none
	Number int    // of a finding; 0 where it says none
}

// clean is the badge of a model without findings.
var clean = badge{Class: "clean"}

// badgeOf is the badge of a level; one that is not known looks like a note, with no colour.
func badgeOf(l finding.Level, number int) badge {
	if l.Rank() > finding.Note.Rank() {
		l = finding.None
	}
	return badge{string(l), number}
}

// pin is the badge of a finding in a picture, with a line to its place.
type pin struct {
	badge
	ID             string // of the finding on the page
	X, Y, AtX, AtY string
}
