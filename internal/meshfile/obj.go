package meshfile

import (
	"bytes"
	"fmt"
	"math"
	"math/bits"
	"slices"

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
	objCall             // another file
)

// objWords are the keywords of the format (Wavefront, "Appendix B1. Object Files",
// version 3.0, from memory).
var objWords = map[string]objKind{
	"v": objPoint, "f": objFace, "fo": objFace, "l": objLine, "p": objLine,
	"vt": objPlain, "vn": objPlain, "vp": objPlain, "g": objPlain, "o": objPlain, "s": objPlain, "mg": objPlain,
	"usemtl": objPlain, "mtllib": objPlain, "usemap": objPlain, "maplib": objPlain, "bevel": objPlain,
	"c_interp": objPlain, "d_interp": objPlain, "lod": objPlain, "shadow_obj": objPlain, "trace_obj": objPlain,
	"call": objCall, "csh": objCall,
	"curv": objFreeForm, "curv2": objFreeForm, "surf": objFreeForm, "cstype": objFreeForm, "deg": objFreeForm,
	"bmat": objFreeForm, "step": objFreeForm, "parm": objFreeForm, "trim": objFreeForm, "hole": objFreeForm,
	"scrv": objFreeForm, "sp": objFreeForm, "end": objFreeForm, "con": objFreeForm, "ctech": objFreeForm,
	"stech": objFreeForm, "bsp": objFreeForm, "bzp": objFreeForm, "cdc": objFreeForm, "cdp": objFreeForm, "res": objFreeForm,
}

// matchesOBJ goes by the first word that is no comment.
func matchesOBJ(head []byte, _ int64) bool {
	if !isText(head) {
		return false
	}
	s := newScanner(bytes.NewReader(head))
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

// passed counts lines that were passed over.
type passed struct {
	lines int64
	first int
	word  string
}

// objReader reads an OBJ file; all its groups are one model, for they are printed together.
type objReader struct {
	*scanner
	*builder
	scale   float64
	points  []mesh.Point
	used    []uint64 // a bit for each point that a face names
	corners []mesh.Point
	poly    polygon
	passed  [objCall + 1]passed
	weights passed // points with a weight other than 1
	crossed passed // faces that cross themselves or have no area
	cut     bool   // the last line has no end
}

func readOBJ(in Input, _ []byte, opt Options) ([]Part, error) {
	r := &objReader{scanner: newScanner(in), builder: newBuilder(in.Size()), scale: opt.Scale}
	r.joins = true
	r.poly.work = maxWork
	var err error
	for more := true; more && err == nil && r.err == nil; {
		more, err = r.statement()
	}
	if r.err != nil {
		return nil, r.err
	}
	if err != nil {
		return nil, err
	}
	if r.soup.Triangles() == 0 {
		return nil, r.noFaces()
	}
	return one("obj", &r.soup, r.notes()), nil
}

// statement reads one line; false at the end of the file.
func (r *objReader) statement() (more bool, err error) {
	w := r.inLine()
	line := r.line
	kind := objPlain
	switch {
	case len(w) == 0:
	case w[0] == '#':
		// A comment may end in a backslash without meaning the next line.
		more = r.endLine()
		r.cut = !more
		return more, nil
	case len(w) == 1 && w[0] == 'v':
		kind, err = objPoint, r.point(line)
	case len(w) == 1 && w[0] == 'f':
		kind, err = objFace, r.face(line)
	default:
		if kind = objWords[string(w)]; kind == objFace {
			err = r.face(line)
		} else if kind != objPlain {
			r.passed[kind].add(line, w)
		}
	}
	if err != nil {
		return false, err
	}
	for kind != objPoint && kind != objFace && r.inLine() != nil {
		// To the end of the line, through the lines that are joined to it.
	}
	more = r.endLine()
	r.cut = !more && len(w) > 0
	return more, nil
}

func (p *passed) add(line int, w []byte) {
	if p.lines++; p.lines == 1 {
		p.first, p.word = line, quoted(w)
	}
}

// argument returns the next word of a statement, or nothing at its end or a comment.
func (r *objReader) argument() []byte {
	w := r.inLine()
	if len(w) > 0 && w[0] == '#' {
		return nil
	}
	return w
}

// point reads x y z, perhaps a weight, perhaps a colour.
func (r *objReader) point(line int) error {
	var p mesh.Point
	for k := range p {
		w := r.argument()
		x, ok := parseMM(w, r.scale)
		if !ok || x-x != 0 {
			if w == nil {
				return atLine(line, cureAgain, "a point has %d of 3 coordinates", k)
			}
			return badNumber(line, w)
		}
		p[k] = x
	}
	// Four numbers end in a weight, six or seven in a colour.
	count := 3
	var weight float32
	for w := r.argument(); w != nil; w = r.argument() {
		x, ok := parse32(w)
		if !ok {
			return badNumber(line, w)
		}
		if count++; count == 4 {
			weight = x
		}
	}
	if count == 4 && weight != 1 {
		r.weights.add(line, nil)
	}
	if len(r.points) == maxCorners {
		return atLine(line, cureSmaller, "the model has more than %d points, the most that can be read", maxCorners)
	}
	if len(r.points) == cap(r.points) {
		r.points = slices.Grow(r.points, max(len(r.points), 256)) // append would copy four times as often
	}
	r.points = append(r.points, p)
	if len(r.points) > 64*len(r.used) {
		r.used = append(r.used, 0)
	}
	return nil
}

// face reads the corners of a polygon and cuts it into triangles.
func (r *objReader) face(line int) error {
	r.corners = r.corners[:0]
	for w := r.argument(); w != nil; w = r.argument() {
		i, err := r.index(w, line)
		if err != nil {
			return err
		}
		if len(r.corners) == r.limit {
			return tooMany(line, r.limit)
		}
		r.used[i/64] |= 1 << (i % 64)
		r.corners = append(r.corners, r.points[i])
	}
	if len(r.corners) < 3 {
		return atLine(line, cureAgain, "a face has %s, it needs 3", plural(int64(len(r.corners)), "corner"))
	}
	tris, clean, ok := r.poly.cut(r.corners)
	if !ok {
		return atLine(line, cureTriangle, "a face of %d corners is too intricate to be cut into triangles", len(r.corners))
	}
	if !clean {
		r.crossed.add(line, nil)
	}
	for _, t := range tris {
		if err := r.add(r.corners[t[0]], r.corners[t[1]], r.corners[t[2]], line, r.done()); err != nil {
			return err
		}
	}
	return nil
}

// index reads a corner: point, point/texture, point//normal or point/texture/normal. From
// 1 it counts from the first point, from -1 backwards from the last one so far.
func (r *objReader) index(w []byte, line int) (int, error) {
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
		return 0, atLine(line, cureAgain, "%s is no corner of a face", quoted(w))
	}
	have := len(r.points)
	if n == 0 || n > have {
		return 0, atLine(line, cureAgain, "the face names point %s of %d up to here", w[:min(i, 24)], have)
	}
	if neg {
		return have - n, nil
	}
	return n - 1, nil
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

func (r *objReader) noFaces() error {
	if p := r.passed[objFreeForm]; p.lines > 0 {
		return atLine(p.first, cureTriangle, "the model has only curves and surfaces, no faces")
	}
	return atLine(r.line, cureAgain, "the model has no faces")
}

// notes says what was passed over.
func (r *objReader) notes() []string {
	var notes []string
	for _, n := range []struct {
		passed
		what string
	}{
		{r.passed[objLine], "of lines and points"},
		{r.passed[objFreeForm], "of curves and surfaces"},
		{r.passed[objCall], "asking for another file or program"},
		{r.passed[objUnknown], "of an unknown kind"},
	} {
		if n.lines > 0 {
			notes = append(notes, fmt.Sprintf("passed over %s %s, the first is %s in line %d", plural(n.lines, "line"), n.what, n.word, n.first))
		}
	}
	if n := r.weights; n.lines > 0 {
		notes = append(notes, fmt.Sprintf("passed over the weight of %s, the first in line %d", plural(n.lines, "point"), n.first))
	}
	if n := r.crossed; n.lines > 0 {
		notes = append(notes, fmt.Sprintf("%s with no area or with edges that cross, the first in line %d", plural(n.lines, "face"), n.first))
	}
	if n := r.unused(); n > 0 {
		notes = append(notes, fmt.Sprintf("%s of %d in no face", plural(int64(n), "point"), len(r.points)))
	}
	if r.cut {
		notes = append(notes, "the last line has no end, the file may be cut short")
	}
	return notes
}

func (r *objReader) unused() int {
	n := len(r.points)
	for _, w := range r.used {
		n -= bits.OnesCount64(w)
	}
	return n
}
