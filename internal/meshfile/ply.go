package meshfile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// plyType is a type of number: its size in bytes, and whether it is signed or has a point.
type plyType struct {
	size          int64
	signed, point bool
}

// plyTypes are the types of the format, by their old and new names (G. Turk, "The PLY
// Polygon File Format", 1994, from memory).
var plyTypes = map[string]plyType{
	"char": {1, true, false}, "uchar": {1, false, false}, "short": {2, true, false}, "ushort": {2, false, false},
	"int": {4, true, false}, "uint": {4, false, false}, "float": {4, true, true}, "double": {8, true, true},
	"int8": {1, true, false}, "uint8": {1, false, false}, "int16": {2, true, false}, "uint16": {2, false, false},
	"int32": {4, true, false}, "uint32": {4, false, false}, "float32": {4, true, true}, "float64": {8, true, true},
}

// value reads a number of this type.
func (t plyType) value(b []byte, order binary.ByteOrder) float64 {
	switch {
	case t.size == 8:
		return math.Float64frombits(order.Uint64(b))
	case t.point:
		return float64(math.Float32frombits(order.Uint32(b)))
	case t.size == 4 && t.signed:
		return float64(int32(order.Uint32(b)))
	case t.size == 4:
		return float64(order.Uint32(b))
	case t.size == 2 && t.signed:
		return float64(int16(order.Uint16(b)))
	case t.size == 2:
		return float64(order.Uint16(b))
	case t.signed:
		return float64(int8(b[0]))
	}
	return float64(b[0])
}

// plyProperty is one number of a row, or a list of them.
type plyProperty struct {
	name  string
	kind  plyType
	list  bool
	count plyType // of a list
}

// plyElement is a table.
type plyElement struct {
	name       string
	rows       int64
	line       int
	properties []plyProperty
	indices    int // which property names points, -1 where none does
}

// find returns the position of the first property of one of these names, or -1.
func (e *plyElement) find(list bool, names ...string) int {
	for i := range e.properties {
		for _, n := range names {
			if e.properties[i].name == n && e.properties[i].list == list {
				return i
			}
		}
	}
	return -1
}

// least is the fewest bytes a row takes: a digit and a blank a number in text.
func (e *plyElement) least(text bool) int64 {
	var n int64
	for _, p := range e.properties {
		switch {
		case text:
			n += 2
		case p.list:
			n += p.count.size
		default:
			n += p.kind.size
		}
	}
	return max(n, 1)
}

// usual is how many bytes a binary row takes where its list names three points.
func (e *plyElement) usual() int64 {
	n := e.least(false)
	if e.indices >= 0 {
		n += 3 * e.properties[e.indices].kind.size
	}
	return n
}

// plyReader reads a PLY file.
type plyReader struct {
	*scanner
	*faces
	scale    float64
	order    binary.ByteOrder // nil in text
	elements []plyElement
	strip    plyStrip
	cut      bool
	doubt    string // why the faces may not be all of the shape
}

func matchesPLY(head []byte, _ int64) bool {
	return bytes.HasPrefix(head, []byte("ply")) && len(head) > 3 && isSpace(head[3])
}

func readPLY(in Input, _ []byte, opt Options) ([]Part, error) {
	r := &plyReader{scanner: newScanner(in), faces: newFaces(in.Size()), scale: opt.Scale}
	err := r.header()
	if r.err == nil && err == nil {
		err = r.claims()
	}
	if r.err == nil && err == nil {
		if r.order != nil {
			return r.binary(in)
		}
		err = r.text()
	}
	if r.err != nil {
		return nil, r.err
	}
	if err != nil {
		return nil, err
	}
	notes := r.notes()
	if r.cut {
		notes = append(notes, cutNote)
	}
	return r.finish("ply-ascii", notes)
}

func (r *plyReader) finish(kind string, notes []string) ([]Part, error) {
	if r.soup.Triangles() == 0 {
		return nil, atLine(r.line, cureTriangle, "the model has no faces")
	}
	parts := one(kind, &r.soup, notes)
	parts[0].Undecided = r.doubt
	return parts, nil
}

// header reads up to end_header with its line end.
func (r *plyReader) header() error {
	r.next() // ply, which is there
	alone := r.pos < r.end && r.buf[r.pos] == '\r' && r.pos+1 < r.end && r.buf[r.pos+1] != '\n'
	for {
		r.endLine()
		w := r.inLine()
		var err error
		switch {
		case isWord(w, "format"):
			err = r.format()
		case isWord(w, "element"):
			err = r.element()
		case isWord(w, "property"):
			err = r.property()
		case isWord(w, "end_header"):
			return r.endHeader(alone)
		case w == nil && r.ended():
			return atLine(r.line, cureAgain, "the file ends in its header")
		case w == nil || isWord(w, "comment") || isWord(w, "obj_info"):
		default:
			err = atLine(r.line, cureAgain, "%s in the header; it has format, element, property and comment", quoted(w))
		}
		if err != nil {
			return err
		}
	}
}

// endHeader steps to the first byte of the data. Where lines end with CR alone, a LF
// behind the last one is data.
func (r *plyReader) endHeader(alone bool) error {
	if alone && r.pos < r.end && r.buf[r.pos] == '\r' {
		r.pos++
		r.line++
		return nil
	}
	if !r.endLine() {
		return atLine(r.line, cureAgain, "the file ends in its header")
	}
	return nil
}

func (r *plyReader) format() error {
	w := r.inLine()
	switch {
	case w == nil && r.ended():
		return atLine(r.line, cureAgain, "the file ends in its header")
	case isWord(w, "ascii"):
	case isWord(w, "binary_little_endian"):
		r.order = binary.LittleEndian
	case isWord(w, "binary_big_endian"):
		r.order = binary.BigEndian
	default:
		return atLine(r.line, cureAgain, "%s is no format of PLY", quoted(w))
	}
	if w = r.inLine(); string(w) != "1.0" {
		return atLine(r.line, cureAgain, "the version is %s, only 1.0 is known", quoted(w))
	}
	return nil
}

func (r *plyReader) element() error {
	e := plyElement{name: string(r.inLine()), line: r.line}
	w := r.inLine()
	n, err := strconv.ParseInt(string(w), 10, 64)
	if err != nil || n < 0 || e.name == "" {
		return atLine(r.line, cureAgain, "an element needs a name and a number of rows, found %s", quoted(w))
	}
	if len(r.elements) == plyMost {
		return atLine(r.line, cureAgain, "the header has more than %d elements", plyMost)
	}
	for i := range r.elements {
		if r.elements[i].name == e.name {
			return atLine(r.line, cureAgain, "there is a second element %s", quoted(e.name))
		}
	}
	e.rows, e.indices = n, -1
	r.elements = append(r.elements, e)
	return nil
}

func (r *plyReader) property() error {
	if len(r.elements) == 0 {
		return atLine(r.line, cureAgain, "a property before the first element")
	}
	var p plyProperty
	w, ok := r.inLine(), true
	if isWord(w, "list") {
		p.list = true
		w = r.inLine()
		if p.count, ok = plyTypes[string(w)]; !ok || p.count.point {
			return atLine(r.line, cureAgain, "%s is no type for the length of a list", quoted(w))
		}
		w = r.inLine()
	}
	if p.kind, ok = plyTypes[string(w)]; !ok {
		return atLine(r.line, cureAgain, "%s is no type of number", quoted(w))
	}
	if p.name = string(r.inLine()); p.name == "" {
		return atLine(r.line, cureAgain, "a property without a name")
	}
	e := &r.elements[len(r.elements)-1]
	if len(e.properties) == plyMost {
		return atLine(r.line, cureAgain, "an element of more than %d properties", plyMost)
	}
	for i := range e.properties {
		if q := e.properties[i].name; q == p.name || isIndices(q) && isIndices(p.name) {
			return atLine(r.line, cureAgain, "there is a second property %s", quoted(p.name))
		}
	}
	e.properties = append(e.properties, p)
	return nil
}

// plyMost is the most elements, and properties of one: each name is held against all
// others, and files have a dozen.
const plyMost = 1000

// claims holds the header against the size of the file and against what a mesh needs.
func (r *plyReader) claims() error {
	room, points := r.size-r.done(), false
	for i := range r.elements {
		e := &r.elements[i]
		// All tables lie in the file side by side, so each has what the others leave.
		if e.rows > room/e.least(r.order == nil) {
			return atLine(e.line, cureAgain, "the header claims %d rows of %s, more than a file of %s can hold",
				e.rows, quoted(e.name), plural(r.size, "byte"))
		}
		room -= e.rows * e.least(r.order == nil)
		switch e.name {
		case "vertex":
			points = true
			for _, axis := range []string{"x", "y", "z"} {
				if e.find(false, axis) < 0 {
					return atLine(e.line, cureAgain, "the points have no %s", axis)
				}
			}
		case "face", "tristrips":
			if e.indices = e.find(true, "vertex_indices", "vertex_index"); e.indices < 0 {
				return atLine(e.line, cureAgain, "the faces have no vertex_indices")
			}
			if !points {
				return atLine(e.line, cureAgain, "the faces stand before the points")
			}
		default:
			r.stranger(e)
		}
	}
	return nil
}

// plyPlain are tables that hold lists and no surface.
var plyPlain = []string{"edge", "camera", "material"}

// stranger doubts a table that is not known and holds lists, as tables of faces do.
func (r *plyReader) stranger(e *plyElement) {
	if r.doubt != "" || e.rows == 0 || slices.Contains(plyPlain, e.name) || strings.Contains(e.name, "texture") {
		return
	}
	if slices.ContainsFunc(e.properties, func(p plyProperty) bool { return p.list }) {
		r.doubt = fmt.Sprintf("the element %s in line %d, which is not known here, may hold faces; %s",
			quoted(e.name), e.line, cureTriangle)
	}
}

// cornerOf takes a point of a face or strip.
func (r *plyReader) cornerOf(e *plyElement, v float64, face int, done int64) error {
	if e.name == "tristrips" && v == -1 {
		r.strip = plyStrip{}
		return nil
	}
	if v != math.Trunc(v) || v < 0 || v >= float64(len(r.points)) {
		return atLine(face, cureAgain, "the face names point %s of %d, the first is 0", fmt.Sprint(v), len(r.points))
	}
	if e.name == "tristrips" {
		return r.stripCorner(int(v), face, done)
	}
	return r.corner(int(v), face)
}
