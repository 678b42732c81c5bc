package meshfile

import (
	"bytes"
	"fmt"
	"strings"

	"printlint/internal/mesh"
)

// isASCIISTL tells from the beginning of a file that it is an ASCII STL. A control
// character makes it binary, unless the words of a triangle stand there.
func isASCIISTL(head []byte) bool {
	if firstWord(head) != "solid" {
		return false
	}
	lower := bytes.ToLower(head)
	return isText(head) || bytes.Contains(lower, []byte("facet")) && bytes.Contains(lower, []byte("vertex"))
}

// asciiSTL reads the text form word by word, wherever its lines break. Several solids
// in a file are printed together and so are one model.
type asciiSTL struct {
	text
	inside bool   // a solid
	bare   passed // facets without a whole normal
	notes  []string
}

func readASCIISTL(in Input, opt Options) ([]Part, error) {
	r := &asciiSTL{text: newText(in, opt)}
	if w := r.next(); !isWord(w, "solid") {
		r.fail(r.line, cureAgain, "the file begins with %s; a text STL begins with \"solid\", and as a binary STL it is not whole", quoted(w))
	}
	r.solid()
	for r.err == nil && r.statement() {
	}
	if r.triangles.Count() == 0 {
		r.fail(r.line, cureAgain, "the model has no triangles")
	}
	if r.inside {
		r.notes = append(r.notes, "the last endsolid is missing, the file may be cut short")
	}
	if n := r.bare; n.lines > 0 {
		r.notes = append(r.notes, fmt.Sprintf("%s without a whole normal, the first in line %d; it was computed from the corners", plural(n.lines, "facet"), n.first))
	}
	return r.part("stl-ascii", r.notes)
}

// statement reads the next facet, solid or endsolid; false at the end of the file.
func (r *asciiSTL) statement() bool {
	w := r.next()
	switch {
	case w == nil:
		return false
	case isWord(w, "facet"):
		r.facet()
	case isWord(w, "solid"):
		if r.inside {
			r.notes = append(r.notes, fmt.Sprintf("endsolid is missing before line %d", r.line))
		}
		r.solid()
	case isWord(w, "endsolid") && r.inside:
		r.inside = false
		if line := r.line; r.name() {
			r.outside(line)
		}
	default:
		r.fail(r.line, cureAgain, "expected facet, solid or endsolid, found %s", quoted(w))
	}
	return true
}

// solid reads the line of a solid.
func (r *asciiSTL) solid() {
	r.inside = true
	if line := r.line; r.name() {
		r.normal(line, 2)
	}
}

func (r *asciiSTL) outside(line int) {
	r.fail(line, cureAgain, "a facet outside solid and endsolid")
}

// name passes over the name, which is everything up to the end of the line, but for a
// facet: some files have no line ends. It is true once it has read the beginning of a
// facet up to the first number of its normal. A name must not hide a triangle whose
// beginning is damaged.
func (r *asciiSTL) name() bool {
	w := r.inLine()
	for w != nil {
		if isWord(w, "endfacet") {
			r.fail(r.line, cureAgain, "a triangle in the name of a solid")
			return false
		}
		if !isWord(w, "facet") {
			w = r.inLine()
			continue
		}
		if w = r.inLine(); isWord(w, "normal") {
			w = r.inLine()
			if _, ok := parse32(w); ok {
				return true
			}
		}
	}
	return false
}

// facet reads a facet after that word.
func (r *asciiSTL) facet() {
	line := r.line
	if !r.inside {
		r.outside(line)
		return
	}
	switch w := r.next(); {
	case isWord(w, "normal"):
		r.normal(line, 3)
	case isWord(w, "outer"):
		r.bare.add(line, nil)
		r.loop(line)
	default:
		r.unexpected("normal", w)
	}
}

// normal reads a facet after the word normal, with so many numbers of the normal left.
// They are passed over unread: the normal follows from the corners, and writers that
// cannot compute one write anything, or nothing.
func (r *asciiSTL) normal(line, numbers int) {
	w := r.next()
	for ; numbers > 0 && !isWord(w, "outer"); numbers-- {
		w = r.next()
	}
	if numbers > 0 {
		r.bare.add(line, nil)
	}
	if !isWord(w, "outer") {
		r.unexpected("outer", w)
	}
	r.loop(line)
}

// loop reads a facet after the word outer.
func (r *asciiSTL) loop(line int) {
	r.expect("loop")
	var p [3]mesh.Point
	for i := range p {
		r.expect("vertex")
		for k := range p[i] {
			w := r.next()
			p[i][k] = r.coordinate(w, k, r.line)
		}
	}
	w := r.next()
	if isWord(w, "vertex") {
		r.fail(r.line, cureTriangle, "a facet of more than three corners")
	} else if !isWord(w, "endloop") {
		r.unexpected("endloop", w)
	}
	if r.expect("endfacet"); r.err == nil {
		r.add(p[0], p[1], p[2], line)
	}
}

func (r *asciiSTL) expect(word string) {
	if w := r.next(); !isWord(w, word) {
		r.unexpected(word, w)
	}
}

func (r *asciiSTL) unexpected(word string, found []byte) {
	if r.ended() {
		r.fail(r.line, cureAgain, "the file ends in triangle %d, where %s was expected", r.triangles.Count()+1, word)
	}
	r.fail(r.line, cureAgain, "expected %s, found %s", word, quoted(found))
}

// isWord compares a word of a file, in any case, with a lower-case one.
func isWord(w []byte, word string) bool {
	return string(w) == word || len(w) == len(word) && strings.EqualFold(string(w), word)
}
