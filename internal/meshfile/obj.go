package meshfile

import (
	"bytes"
	"fmt"
	"math"

	"printlint/internal/mesh"
)

// objKind is what a line of an OBJ file means for a model.
type objKind int

const (
	objUnknown  objKind = iota
	objPoint            // a corner
	objFace             // a polygon
	objPlain            // says nothing about shape
	objLine             // lines and points, which are no solid
	objFreeForm         // curves and surfaces given by formulas
	objCall             // another file, or a program to be run
	objStrange          // unknown, with numbers like a face
	objKinds
)

// objWords are the keywords of the format (Wavefront, "Appendix B1. Object Files",
// version 3.0, from memory).
var objWords = map[string]objKind{
	"v": objPoint, "f": objFace, "fo": objFace, "l": objLine, "p": objLine,
	"vt": objPlain, "vn": objPlain, "g": objPlain, "o": objPlain, "s": objPlain, "mg": objPlain,
	"usemtl": objPlain, "mtllib": objPlain, "usemap": objPlain, "maplib": objPlain, "bevel": objPlain,
	"c_interp": objPlain, "d_interp": objPlain, "lod": objPlain, "shadow_obj": objPlain, "trace_obj": objPlain,
	"call": objCall, "csh": objCall,
	"vp": objFreeForm, "curv": objFreeForm, "curv2": objFreeForm, "surf": objFreeForm, "cstype": objFreeForm, "deg": objFreeForm,
	"bmat": objFreeForm, "step": objFreeForm, "parm": objFreeForm, "trim": objFreeForm, "hole": objFreeForm,
	"scrv": objFreeForm, "sp": objFreeForm, "end": objFreeForm, "con": objFreeForm, "ctech": objFreeForm,
	"stech": objFreeForm, "bsp": objFreeForm, "bzp": objFreeForm, "cdc": objFreeForm, "cdp": objFreeForm, "res": objFreeForm,
}

// matchesOBJ goes by the first word that is no comment.
func matchesOBJ(head []byte, _ int64) bool {
	if !isText(head) {
		return false
	}
	s := newScanner(bytes.NewReader(head), headSize)
	for {
		w := s.inLine()
		if len(w) > 0 && w[0] != '#' {
			_, known := objWords[string(w)]
			return known
		}
		if !s.endLine() {
			return false
		}
	}
}

// objReader reads an OBJ file; all its groups are one model, for they are printed together.
type objReader struct {
	text
	passed  [objKinds]passed
	weights passed // points with a weight other than 1
	word4   []byte // the fourth word of a point
}

func readOBJ(in Input, _ []byte, opt Options) ([]Part, error) {
	r := &objReader{text: newText(in, opt)}
	r.joins = true
	for r.statement() && r.err == nil {
	}
	if r.triangles.Count() == 0 {
		if p := r.passed[objFreeForm]; p.lines > 0 {
			r.fail(p.first, cureTriangle, "the model has only curves and surfaces, no faces")
		}
		r.fail(r.line, cureAgain, "the model has no faces")
	}
	parts, err := r.part("obj", r.notes())
	if err == nil {
		parts[0].Undecided = r.undecided()
	}
	return parts, err
}

// statement reads one line; false at the end of the file.
func (r *objReader) statement() (more bool) {
	w := r.inLine()
	line := r.line
	kind := objPlain
	switch {
	case len(w) == 0:
	case w[0] == '#':
		// A comment may end in a backslash without meaning the next line.
		more = r.endLine()
		r.cut = !more
		return more
	case len(w) == 1 && w[0] == 'v':
		kind = objPoint
		r.vertex(line)
	case len(w) == 1 && w[0] == 'f':
		kind = objFace
		r.face(line)
	default:
		if kind = objWords[string(w)]; kind == objFace {
			r.face(line)
		} else if kind != objPlain {
			r.passOver(kind, line, w)
		}
	}
	for kind != objPoint && kind != objFace && r.inLine() != nil {
		// To the end of the line, through the lines that are joined to it.
	}
	more = r.endLine()
	r.cut = !more && len(w) > 0
	return more
}

// passOver counts a line that is not taken. One of an unknown kind that goes on in three
// numbers is written as a point or a face is; with words it is none.
func (r *objReader) passOver(kind objKind, line int, w []byte) {
	word := string(w)
	if kind == objUnknown {
		numbers := 0
		for n := r.argument(); n != nil && numbers < 3; n = r.argument() {
			if n[0]-'0' > 9 && (len(n) < 2 || n[0] != '-' && n[0] != '+' && n[0] != '.' || n[1]-'0' > 9 && n[1] != '.') {
				break
			}
			numbers++
		}
		if numbers == 3 {
			kind = objStrange
		}
	}
	r.passed[kind].add(line, []byte(word))
}

// argument returns the next word of a statement, or nothing at its end or a comment.
func (r *objReader) argument() []byte {
	w := r.inLine()
	if len(w) > 0 && w[0] == '#' {
		return nil
	}
	return w
}

// vertex reads x y z, perhaps a weight, perhaps a colour.
func (r *objReader) vertex(line int) {
	var p mesh.Point
	for k := range p {
		w := r.argument()
		if w == nil {
			r.fail(line, cureAgain, "a point has %d of 3 coordinates", k)
		}
		p[k] = r.coordinate(w, k, line)
	}
	// Four numbers end in a weight, six or seven in a colour; neither moves the point, and
	// so neither has to be a number. A keyword there means that a line end was lost.
	count := 3
	var weight []byte
	for w := r.argument(); w != nil; w = r.argument() {
		if _, known := objWords[string(w)]; known {
			r.fail(line, cureAgain, "%s behind the coordinates of a point", quoted(w))
		}
		if count++; count == 4 {
			weight = append(r.word4[:0], w...)
			r.word4 = weight
		}
	}
	if count == 4 {
		if x, ok := parse32(weight); !ok || x != 1 {
			r.weights.add(line, nil)
		}
	}
	r.point(p, line)
}

// face reads the corners of a polygon.
func (r *objReader) face(line int) {
	r.begin()
	for w := r.argument(); w != nil; w = r.argument() {
		i := r.index(w, line)
		if r.err != nil {
			return
		}
		r.corner(i, line)
	}
	r.close(line)
}

// index reads a corner: point, point/texture, point//normal or point/texture/normal. From
// 1 it counts from the first point, from -1 backwards from the last one so far.
func (r *objReader) index(w []byte, line int) int {
	i, neg := 0, len(w) > 0 && w[0] == '-'
	if neg {
		i = 1
	}
	n, digits := 0, 0
	for ; i < len(w) && w[i]-'0' <= 9; i++ {
		n = min(n*10+int(w[i]-'0'), math.MaxInt32)
		digits++
	}
	if digits == 0 || i < len(w) && !isReference(w[i:]) {
		r.fail(line, cureAgain, "%s is no corner of a face", quoted(w))
	}
	have := len(r.points)
	if n == 0 || n > have {
		r.fail(line, cureAgain, "the face names point %s of %d up to here", w[:min(i, 24)], have)
	}
	if neg {
		return have - n
	}
	return n - 1
}

// isReference tells whether b is what may follow a point: numbers behind one or two slashes.
func isReference(b []byte) bool {
	slashes := 0
	for i, c := range b {
		switch {
		case c == '/':
			slashes++
		case c == '-' && i > 0 && b[i-1] == '/':
		case c-'0' > 9:
			return false
		}
	}
	return b[0] == '/' && slashes <= 2
}

// undecided says which lines may be shape and were passed over. What another file or
// program holds is never fetched.
func (r *objReader) undecided() string {
	for _, n := range []struct {
		passed
		what, cure string
	}{
		{r.passed[objFreeForm], "of curves and surfaces", cureTriangle},
		{r.passed[objCall], "asking for another file or program", "put all of the model into one file"},
		{r.passed[objStrange], "of an unknown kind, with numbers like a face,", cureTriangle},
	} {
		if n.lines > 0 {
			return fmt.Sprintf("%s %s %s ignored, the first is %s in line %d; %s",
				plural(n.lines, "line"), n.what, was(n.lines), n.word, n.first, n.cure)
		}
	}
	return ""
}

// notes says what was passed over and is no solid.
func (r *objReader) notes() []string {
	var notes []string
	for _, n := range []struct {
		passed
		what string
	}{
		{r.passed[objLine], "of lines and points"},
		{r.passed[objUnknown], "of an unknown kind"},
	} {
		if n.lines > 0 {
			notes = append(notes, fmt.Sprintf("ignored %s %s, the first is %s in line %d", plural(n.lines, "line"), n.what, n.word, n.first))
		}
	}
	if n := r.weights; n.lines > 0 {
		notes = append(notes, fmt.Sprintf("ignored the weight of %s, the first in line %d", plural(n.lines, "point"), n.first))
	}
	return append(notes, r.text.notes()...)
}
