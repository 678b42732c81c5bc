package meshfile

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

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

// offReader reads an OFF file: counts, then points, then faces.
//
// The format goes by words: a line may hold half a point or several, and only behind a
// face does its end count, because colours end there. Most files have a line for each
// point, though, and some of these have colours behind the points that the first word of
// the file does not announce. So a file is read by lines first, and by words where that
// does not come out even; a file that comes out even in two ways is refused.
type offReader struct {
	text
	words bool // points go by words
	width int  // words of a point
	loose bool // a point has another number of words in its line
}

func readOFF(in Input, _ []byte, opt Options) ([]Part, error) {
	lines := &offReader{text: newText(in, opt)}
	byLines, err := lines.file()
	if err == nil && !lines.loose {
		return byLines, nil
	}
	words := &offReader{text: newText(in, opt), words: true}
	byWords, errWords := words.file()
	switch {
	case errWords != nil:
		return byLines, err
	case err != nil:
		return byWords, nil
	}
	return nil, atLine(lines.line, cureAgain,
		"the file can be read in two ways: with a line for each point it has %s, with %d numbers for each it has %d",
		plural(int64(lines.triangles.Count()), "triangle"), words.width, words.triangles.Count())
}

// file reads the whole file.
func (r *offReader) file() ([]Part, error) {
	points, count := r.header()
	for i := int64(0); i < points && r.err == nil; i++ {
		r.vertex()
	}
	for i := int64(0); i < count && r.err == nil; i++ {
		r.face()
	}
	if w := r.statement(); w != nil {
		r.fail(r.line, cureAgain, "%s behind the last of %s", quoted(w), plural(count, "face"))
	}
	if r.triangles.Count() == 0 {
		r.fail(r.line, cureAgain, "the model has no faces")
	}
	return r.part("off", r.notes())
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

// offWidth is how many numbers a point has, by the first word of the file: coordinates,
// normal, colour with its opacity, place in a texture.
func offWidth(word string) int {
	width := 3
	for prefix, more := range map[string]int{"n": 3, "c": 4, "st": 2} {
		if strings.Contains(strings.TrimSuffix(word, "off"), prefix) {
			width += more
		}
	}
	return width
}

// header reads the word OFF, which may be left out, and the counts.
func (r *offReader) header() (points, count int64) {
	w := r.statement()
	word := string(bytes.ToLower(w))
	r.width = 3
	if slices.Contains(offStrange, word) || string(w) == "nOFF" {
		r.fail(r.line, cureTriangle, "points of four or more coordinates, %s", quoted(w))
	}
	if slices.Contains(offWords, word) {
		r.width = offWidth(word)
		w = r.argument()
		if isWord(w, "binary") {
			r.fail(r.line, "export it as text", "a binary OFF file, which is not read")
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
			r.fail(line, cureAgain, "expected the numbers of points and faces, found %s", quoted(w))
		}
		counts[k], w = int64(n), r.more()
	}
	if _, ok := parseIndex(w); !ok && r.words {
		r.fail(r.line, cureAgain, "expected the number of edges, found %s", quoted(w))
	}
	// A point takes 6 bytes at the least, a face 8.
	if room := r.size - r.done(); counts[0] > room/6 || counts[1] > room/8 {
		r.fail(line, cureAgain, "the header claims %s and %s, more than a file of %s can hold",
			plural(counts[0], "point"), plural(counts[1], "face"), plural(r.size, "byte"))
	}
	if !r.words {
		r.endLine() // the number of edges, which some leave out
	}
	return counts[0], counts[1]
}

// more returns the next word of what was begun.
func (r *offReader) more() []byte {
	if r.words {
		return r.statement()
	}
	return r.argument()
}

// vertex reads x y z and passes over what follows.
func (r *offReader) vertex() {
	var p mesh.Point
	w := r.statement()
	line := r.line
	for k := range p {
		if w == nil {
			r.missing(line, fmt.Sprintf("point %d has %d of 3 coordinates", len(r.points)+1, k))
			return
		}
		p[k] = r.coordinate(w, k, r.line)
		if k < 2 {
			w = r.more()
		}
	}
	if r.words {
		for range r.width - 3 {
			if w = r.statement(); w == nil {
				r.missing(line, fmt.Sprintf("point %d has fewer than %d numbers", len(r.points)+1, r.width))
			}
		}
	} else {
		n := 3
		for r.argument() != nil {
			n++
		}
		r.loose = r.loose || n != r.width
		r.endLine()
	}
	r.point(p, line)
}

// face reads how many corners there are and which, and passes over colours.
func (r *offReader) face() {
	w := r.statement()
	line := r.line
	n, ok := parseIndex(w)
	if w == nil {
		r.missing(line, "fewer faces than the header claims")
	} else if !ok {
		r.fail(line, cureAgain, "%s is no number of corners", quoted(w))
	}
	r.begin()
	for k := uint32(0); k < n && r.err == nil; k++ {
		if w = r.more(); w == nil {
			r.missing(line, fmt.Sprintf("the face has %d of %d corners", k, n))
			return
		}
		i, ok := parseIndex(w)
		if !ok || int(i) >= len(r.points) {
			r.fail(r.line, cureAgain, "the face names point %s of %d, the first is 0", quoted(w), len(r.points))
			return
		}
		r.corner(int(i), line)
	}
	if n != 1 && n != 2 { // a point or an edge, which some writers list
		r.close(line)
	}
	r.cut = !r.endLine()
}

func (r *offReader) missing(line int, what string) {
	if r.ended() {
		what = "the file ends too early: " + what
	}
	r.fail(line, cureAgain, "%s", what)
}
