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
	*scanner
	*builder
	scale  float64
	inside bool   // a solid
	bare   passed // facets without a whole normal
	notes  []string
}

func readASCIISTL(in Input, opt Options) ([]Part, error) {
	r := &asciiSTL{scanner: newScanner(in), builder: newBuilder(in.Size()), scale: opt.Scale}
	if w := r.next(); !isWord(w, "solid") && r.err == nil {
		return nil, atLine(r.line, cureAgain,
			"%s: an ASCII STL begins with solid, and as a binary STL the file is not whole", quoted(w))
	}
	err := r.solid()
	for err == nil && r.statement(&err) {
	}
	// What stopped the scanner explains best why a word was missing.
	if r.err != nil {
		return nil, r.err
	}
	if err != nil {
		return nil, err
	}
	if r.soup.Triangles() == 0 {
		return nil, atLine(r.line, cureAgain, "the model has no triangles")
	}
	if r.inside {
		r.note("the last endsolid is missing, the file may be cut short")
	}
	if n := r.bare; n.lines > 0 {
		r.note(fmt.Sprintf("%s without a whole normal, the first in line %d; it was computed from the corners", plural(n.lines, "facet"), n.first))
	}
	return one("stl-ascii", &r.soup, r.notes), nil
}

func (r *asciiSTL) note(s string) { r.notes = append(r.notes, s) }

// statement reads the next facet, solid or endsolid; false at the end of the file.
func (r *asciiSTL) statement(err *error) bool {
	w := r.next()
	switch {
	case w == nil:
		return false
	case isWord(w, "facet"):
		line := r.line
		if !r.inside {
			*err = outside(line)
			return false
		}
		switch w = r.next(); {
		case isWord(w, "normal"):
			*err = r.facet(line, 3)
		case isWord(w, "outer"):
			r.bare.add(line, nil)
			*err = r.loop(line)
		default:
			*err = r.unexpected("normal", w)
		}
	case isWord(w, "solid"):
		if r.inside {
			r.note("endsolid is missing before " + lineWord(r.line))
		}
		*err = r.solid()
	case isWord(w, "endsolid") && r.inside:
		*err = r.endsolid()
	default:
		*err = atLine(r.line, cureAgain, "expected facet, solid or endsolid, found %s", quoted(w))
	}
	return true
}

// solid reads the line of a solid.
func (r *asciiSTL) solid() error {
	r.inside = true
	line := r.line
	begun, err := r.name()
	if begun {
		return r.facet(line, 2)
	}
	return err
}

// endsolid reads the line that ends a solid.
func (r *asciiSTL) endsolid() error {
	r.inside = false
	line := r.line
	begun, err := r.name()
	if begun {
		return outside(line)
	}
	return err
}

func outside(line int) error {
	return atLine(line, cureAgain, "a facet outside solid and endsolid")
}

// name passes over the name, which is everything up to the end of the line, but for a
// facet: some files have no line ends. It is true once it has read the beginning of a
// facet up to the first number of its normal. A name must not hide a triangle whose
// beginning is damaged.
func (r *asciiSTL) name() (begun bool, err error) {
	w := r.inLine()
	for w != nil {
		if isWord(w, "endfacet") {
			return false, atLine(r.line, cureAgain, "a triangle in the name of a solid")
		}
		if !isWord(w, "facet") {
			w = r.inLine()
			continue
		}
		if w = r.inLine(); isWord(w, "normal") {
			w = r.inLine()
			if _, ok := parse32(w); ok {
				return true, nil
			}
		}
	}
	return false, nil
}

// facet reads a facet after the word normal, with so many numbers of the normal left.
// They are passed over unread: the normal follows from the corners, and writers that
// cannot compute one write anything, or nothing.
func (r *asciiSTL) facet(line, numbers int) error {
	w := r.next()
	for ; numbers > 0 && !isWord(w, "outer"); numbers-- {
		w = r.next()
	}
	if numbers > 0 {
		r.bare.add(line, nil)
	}
	if !isWord(w, "outer") {
		return r.unexpected("outer", w)
	}
	return r.loop(line)
}

// loop reads a facet after the word outer.
func (r *asciiSTL) loop(line int) error {
	if err := r.expect("loop"); err != nil {
		return err
	}
	var p [3]mesh.Point
	for i := range p {
		if err := r.expect("vertex"); err != nil {
			return err
		}
		if err := r.corner(&p[i]); err != nil {
			return err
		}
	}
	w := r.next()
	if isWord(w, "vertex") {
		return atLine(r.line, cureTriangle, "a facet of more than three corners")
	}
	if !isWord(w, "endloop") {
		return r.unexpected("endloop", w)
	}
	if err := r.expect("endfacet"); err != nil {
		return err
	}
	return r.add(p[0], p[1], p[2], line, r.done())
}

func (r *asciiSTL) corner(p *mesh.Point) error {
	for k := range p {
		w := r.next()
		x, ok := parseMM(w, r.scale)
		if !ok || x-x != 0 {
			return badNumber(r.line, w)
		}
		p[k] = x
	}
	return nil
}

func (r *asciiSTL) expect(word string) error {
	if w := r.next(); !isWord(w, word) {
		return r.unexpected(word, w)
	}
	return nil
}

func (r *asciiSTL) unexpected(word string, found []byte) error {
	if r.ended() {
		return atLine(r.line, cureAgain, "the file ends in triangle %d, where %s was expected", r.soup.Triangles()+1, word)
	}
	return atLine(r.line, cureAgain, "expected %s, found %s", word, quoted(found))
}

// isWord compares a word of a file, in any case, with a lower-case one.
func isWord(w []byte, word string) bool {
	return string(w) == word || len(w) == len(word) && strings.EqualFold(string(w), word)
}
