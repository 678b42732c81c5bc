package meshfile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"printlint/internal/mesh"
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
func (t *plyType) value(b []byte, order binary.ByteOrder) float64 {
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
	text
	order    binary.ByteOrder // nil in text
	elements []plyElement
	strip    plyStrip
	doubt    string // why the faces may not be all of the shape
}

func matchesPLY(head []byte, _ int64) bool {
	return bytes.HasPrefix(head, []byte("ply")) && len(head) > 3 && isSpace(head[3])
}

func readPLY(in Input, _ []byte, opt Options) ([]Part, error) {
	r := &plyReader{text: newText(in, opt)}
	if r.header(); r.err == nil {
		r.claims()
	}
	kind, source, note := "ply-ascii", mesh.Source{}, ""
	switch {
	case r.err != nil:
	case r.order == nil:
		r.rows()
		source = r.triangles.Source
	default:
		kind = "ply"
		source, note = r.binary(in)
	}
	if r.triangles.Count() == 0 {
		r.fail(r.line, cureTriangle, "the model has no faces")
	}
	notes := r.notes()
	if note != "" {
		notes = append(notes, note)
	}
	r.triangles.Source = source
	parts, err := r.part(kind, notes)
	if err == nil {
		parts[0].Undecided = r.doubt
	}
	return parts, err
}

// header reads up to end_header with its line end.
func (r *plyReader) header() {
	r.next() // ply, which is there
	alone := r.pos < r.end && r.buf[r.pos] == '\r' && r.pos+1 < r.end && r.buf[r.pos+1] != '\n'
	for r.err == nil {
		r.endLine()
		w := r.inLine()
		switch {
		case isWord(w, "format"):
			r.format()
		case isWord(w, "element"):
			r.element()
		case isWord(w, "property"):
			r.property()
		case isWord(w, "end_header"):
			r.endHeader(alone)
			return
		case w == nil && r.ended():
			r.headerEnds()
		case w == nil || isWord(w, "comment") || isWord(w, "obj_info"):
		default:
			r.fail(r.line, cureAgain, "%s in the header; it has format, element, property and comment", quoted(w))
		}
	}
}

func (r *plyReader) headerEnds() { r.fail(r.line, cureAgain, "the file ends in its header") }

// endHeader steps to the first byte of the data. Where lines end with CR alone, a LF
// behind the last one is data.
func (r *plyReader) endHeader(alone bool) {
	if alone && r.pos < r.end && r.buf[r.pos] == '\r' {
		r.pos++
		r.line++
	} else if !r.endLine() {
		r.headerEnds()
	}
}

func (r *plyReader) format() {
	w := r.inLine()
	switch {
	case w == nil && r.ended():
		r.headerEnds()
	case isWord(w, "ascii"):
	case isWord(w, "binary_little_endian"):
		r.order = binary.LittleEndian
	case isWord(w, "binary_big_endian"):
		r.order = binary.BigEndian
	default:
		r.fail(r.line, cureAgain, "%s is no format of PLY", quoted(w))
	}
	if w = r.inLine(); string(w) != "1.0" {
		r.fail(r.line, cureAgain, "the version is %s, only 1.0 is known", quoted(w))
	}
}

func (r *plyReader) element() {
	e := plyElement{name: string(r.inLine()), line: r.line, indices: -1}
	w := r.inLine()
	var err error
	if e.rows, err = strconv.ParseInt(string(w), 10, 64); err != nil || e.rows < 0 || e.name == "" {
		r.fail(r.line, cureAgain, "an element needs a name and a number of rows, found %s", quoted(w))
	}
	if len(r.elements) == maxColumns {
		r.fail(r.line, cureAgain, "the header has more than %d elements", maxColumns)
	}
	if slices.ContainsFunc(r.elements, func(other plyElement) bool { return other.name == e.name }) {
		r.fail(r.line, cureAgain, "there is a second element %s", quoted(e.name))
	}
	r.elements = append(r.elements, e)
}

func (r *plyReader) property() {
	if len(r.elements) == 0 {
		r.fail(r.line, cureAgain, "a property before the first element")
		return
	}
	var p plyProperty
	w, ok := r.inLine(), true
	if isWord(w, "list") {
		p.list = true
		w = r.inLine()
		if p.count, ok = plyTypes[string(w)]; !ok || p.count.point {
			r.fail(r.line, cureAgain, "%s is no type for the length of a list", quoted(w))
		}
		w = r.inLine()
	}
	if p.kind, ok = plyTypes[string(w)]; !ok {
		r.fail(r.line, cureAgain, "%s is no type of number", quoted(w))
	}
	if p.name = string(r.inLine()); p.name == "" {
		r.fail(r.line, cureAgain, "a property without a name")
	}
	e := &r.elements[len(r.elements)-1]
	if len(e.properties) == maxColumns {
		r.fail(r.line, cureAgain, "an element of more than %d properties", maxColumns)
	}
	for i := range e.properties {
		if q := e.properties[i].name; q == p.name || isIndices(q) && isIndices(p.name) {
			r.fail(r.line, cureAgain, "there is a second property %s", quoted(p.name))
		}
	}
	e.properties = append(e.properties, p)
}

// claims holds the header against the size of the file and against what a mesh needs.
func (r *plyReader) claims() {
	room, points := r.size-r.done(), false
	for i := range r.elements {
		e := &r.elements[i]
		// All tables lie in the file side by side, so each has what the others leave.
		if e.rows > room/e.least(r.order == nil) {
			r.fail(e.line, cureAgain, "the header claims %d rows of %s, more than a file of %s can hold",
				e.rows, quoted(e.name), plural(r.size, "byte"))
			return
		}
		room -= e.rows * e.least(r.order == nil)
		switch e.name {
		case "vertex":
			points = true
			for _, axis := range []string{"x", "y", "z"} {
				if e.find(false, axis) < 0 {
					r.fail(e.line, cureAgain, "the points have no %s", axis)
				}
			}
		case "face", "tristrips":
			if e.indices = e.find(true, "vertex_indices", "vertex_index"); e.indices < 0 {
				r.fail(e.line, cureAgain, "the faces have no vertex_indices")
			}
			if !points {
				r.fail(e.line, cureAgain, "the faces stand before the points")
			}
		default:
			r.stranger(e)
		}
	}
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
