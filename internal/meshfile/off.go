package meshfile

import (
	"bytes"
	"fmt"
	"slices"

	"printlint/internal/mesh"
)

// offWords are the first words of an OFF file: letters before OFF say what follows the
// coordinates of a point, which is passed over ("OFF File Format", Geomview manual, from
// memory).
var offWords = []string{"off", "coff", "noff", "cnoff", "stoff", "stcoff", "stnoff", "stcnoff"}

// offStrange have points of another kind.
var offStrange = []string{"4off", "noff4", "4noff", "4coff", "c4off"}

func matchesOFF(head []byte, _ int64) bool {
	w := firstWord(head)
	return slices.Contains(offWords, w) || slices.Contains(offStrange, w)
}

// offReader reads an OFF file: counts, then a line for each point and each face.
type offReader struct {
	*scanner
	*faces
	scale float64
	cut   bool // the last line has no end
}

func readOFF(in Input, _ []byte, opt Options) ([]Part, error) {
	r := &offReader{scanner: newScanner(in), faces: newFaces(in.Size()), scale: opt.Scale}
	err := r.file()
	if r.err != nil {
		return nil, r.err
	}
	if err != nil {
		return nil, err
	}
	if r.soup.Triangles() == 0 {
		return nil, atLine(r.line, cureAgain, "the model has no faces")
	}
	notes := r.notes()
	if r.cut {
		notes = append(notes, cutNote)
	}
	return one("off", &r.soup, notes), nil
}

func (r *offReader) file() error {
	points, count, err := r.header()
	if err != nil {
		return err
	}
	for range points {
		if err := r.point(); err != nil {
			return err
		}
	}
	for range count {
		if err := r.face(); err != nil {
			return err
		}
	}
	if w := r.statement(); w != nil {
		return atLine(r.line, cureAgain, "%s behind the last of %s", quoted(w), plural(count, "face"))
	}
	return nil
}

// statement returns the first word of the next line that has one and is no comment.
func (r *offReader) statement() []byte {
	for {
		w := r.next()
		if len(w) == 0 || w[0] != '#' {
			return w
		}
		r.endLine()
	}
}

// argument returns the next word of the line.
func (r *offReader) argument() []byte {
	w := r.inLine()
	if len(w) > 0 && w[0] == '#' {
		for w != nil {
			w = r.inLine()
		}
	}
	return w
}

// header reads the word OFF, which may be left out, and the counts.
func (r *offReader) header() (points, count int64, err error) {
	w := r.statement()
	word := string(bytes.ToLower(w))
	if slices.Contains(offStrange, word) {
		return 0, 0, atLine(r.line, cureTriangle, "points of four or more coordinates, %s", quoted(w))
	}
	if slices.Contains(offWords, word) {
		w = r.argument()
		if isWord(w, "binary") {
			return 0, 0, atLine(r.line, "export it as text", "a binary OFF file, which is not read")
		}
		if w == nil {
			w = r.statement()
		}
	}
	line := r.line
	counts := [2]int64{}
	for k := range counts {
		n, ok := parseIndex(w)
		if !ok {
			return 0, 0, atLine(line, cureAgain, "expected the numbers of points and faces, found %s", quoted(w))
		}
		counts[k], w = int64(n), r.argument()
	}
	// A point takes 6 bytes at the least, a face 8.
	if room := r.size - r.done(); counts[0] > room/6 || counts[1] > room/8 {
		return 0, 0, atLine(line, cureAgain, "the header claims %s and %s, more than a file of %s can hold",
			plural(counts[0], "point"), plural(counts[1], "face"), plural(r.size, "byte"))
	}
	r.endLine()
	return counts[0], counts[1], nil
}

// point reads x y z and passes over what follows in the line.
func (r *offReader) point() error {
	var p mesh.Point
	w := r.statement()
	line := r.line
	for k := range p {
		if w == nil {
			return r.missing(line, fmt.Sprintf("point %d has %d of 3 coordinates", len(r.points)+1, k))
		}
		x, ok := parseMM(w, r.scale)
		if !ok || x-x != 0 {
			return badNumber(line, w)
		}
		p[k] = x
		if k < 2 {
			w = r.argument()
		}
	}
	r.endLine()
	return r.keep(p, line)
}

// face reads how many corners there are and which, and passes over colours.
func (r *offReader) face() error {
	w := r.statement()
	line := r.line
	n, ok := parseIndex(w)
	if !ok {
		if w == nil {
			return r.missing(line, "fewer faces than the header claims")
		}
		return atLine(line, cureAgain, "%s is no number of corners", quoted(w))
	}
	r.begin()
	for k := range n {
		w := r.argument()
		if w == nil {
			return r.missing(line, fmt.Sprintf("the face has %d of %d corners", k, n))
		}
		i, ok := parseIndex(w)
		if !ok || int(i) >= len(r.points) {
			return atLine(line, cureAgain, "the face names point %s of %d, the first is 0", quoted(w), len(r.points))
		}
		if err := r.corner(int(i), line); err != nil {
			return err
		}
	}
	if n == 1 || n == 2 {
		r.cut = !r.endLine()
		return nil // a point or an edge, which some writers list
	}
	if err := r.close(line, r.done()); err != nil {
		return err
	}
	r.cut = !r.endLine()
	return nil
}

func (r *offReader) missing(line int, what string) error {
	if r.ended() {
		what = "the file ends too early: " + what
	}
	return atLine(line, cureAgain, "%s", what)
}
