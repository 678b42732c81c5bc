package meshfile

import (
	"fmt"
	"math"

	"printlint/internal/mesh"
)

// Error says what is wrong with a file, where, and what cures it.
type Error struct {
	// Line is the source line in a text file, from 1, or 0 where no line is to blame.
	Line int
	// Problem is what is wrong, Cure what the owner of the file can do about it.
	Problem, Cure string
	// LFS is true when the file is a git LFS pointer whose content was not fetched.
	LFS bool
}

// Error returns the place, the problem and the cure in one line.
func (e *Error) Error() string {
	s := e.Problem
	if e.Line > 0 {
		s = fmt.Sprintf("line %d: %s", e.Line, s)
	}
	if e.Cure != "" {
		s += "; " + e.Cure
	}
	return s
}

// from is the error with its place in words, for a model that lies in another part of the file.
func (e *Error) from(part string) *Error {
	moved := *e
	moved.Problem, moved.Line = fmt.Sprintf("in %s, line %d: %s", part, e.Line, e.Problem), 0
	return &moved
}

// The cures that several readers share.
const (
	cureAgain    = "export or download the file again"
	cureTriangle = "export the model again as a triangle mesh"
	cureSeveral  = "export the models in several files"
	cureSmaller  = "export the model with fewer triangles"
)

// atLine reports a problem at a line of a text file.
func atLine(line int, cure, format string, args ...any) *Error {
	return &Error{Line: line, Cure: cure, Problem: fmt.Sprintf(format, args...)}
}

// inFile reports a problem of a file without lines.
func inFile(cure, format string, args ...any) *Error {
	return &Error{Cure: cure, Problem: fmt.Sprintf(format, args...)}
}

// finite tells whether no coordinate is infinite or not a number: x-x is 0 for all
// other numbers, and the sum keeps any other outcome.
func finite(p mesh.Point) bool {
	return (p[0]-p[0])+(p[1]-p[1])+(p[2]-p[2]) == 0
}

// notFinite describes a coordinate that is no place in space.
func notFinite(x float64) string {
	if math.IsNaN(x) {
		return "not a number"
	}
	return "infinite, or too large to be a length"
}

func tooMany(line, limit int) *Error {
	return atLine(line, cureSmaller, "the model has more than %d triangles, the most that can be read", limit/3)
}

func tooManyOf(what string, line, most int) *Error {
	return atLine(line, cureSeveral, "the file has more than %d %s", most, what)
}

func tooManyPoints(of string, line int) *Error {
	return atLine(line, cureSmaller, "the %s has more than %d points, the most that can be read", of, maxCorners)
}

// plural returns "1 face" or "2 faces".
func plural(n int64, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// was is the verb for so many.
func was(n int64) string {
	if n == 1 {
		return "was"
	}
	return "were"
}
