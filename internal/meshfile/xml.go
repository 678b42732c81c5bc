package meshfile

import (
	"bytes"
	"io"
)

// xmlBuffer is how much of an XML file is held at once; a tag must fit in xmlTag bytes.
const (
	xmlBuffer = 64 << 10
	xmlTag    = 1 << 20
	xmlDepth  = 256
)

// xmlReader goes through an XML file once, forwards, and hands out elements with their
// attributes and lines. It holds what a file must be to be XML: tags that match,
// attributes in quotes, one root. Document type declarations are refused: what they
// define could be anything, and no model needs one.
//
// After child has returned true, the child's own children are read with child until it
// returns false, or skip passes over them.
type xmlReader struct {
	in       io.Reader
	buf      []byte
	pos, end int
	start    int // of the last tag
	eof      bool
	read     int64 // bytes of the file so far

	line    int // of buf[counted]
	counted int
	afterCR bool // the byte before counted is a CR

	local  []byte // of the element that child returned, without its prefix
	prefix []byte
	attrs  []xmlAttr
	empty  bool // the element has no content

	keep bool // text, into kept
	kept []byte

	open     []xmlOpen // elements around the current place
	names    []byte    // their names, as written
	bindings []xmlBinding
	leave    int // how many bindings hold for the next tag
}

// xmlAttr is an attribute; both parts are valid until the reader moves on.
type xmlAttr struct{ name, value []byte }

// xmlOpen is an element whose end has not been met: where its name begins and how many
// bindings held before it.
type xmlOpen struct{ name, bindings int }

// xmlBinding gives a prefix its namespace.
type xmlBinding struct{ prefix, space string }

func newXML(in io.Reader) *xmlReader {
	return &xmlReader{in: in, buf: make([]byte, xmlBuffer), line: 1}
}

// fill moves what is left to the front and reads on; false at the end of the file.
func (x *xmlReader) fill() (bool, error) {
	if x.eof {
		return false, nil
	}
	x.count()
	copy(x.buf, x.buf[x.pos:x.end])
	x.end -= x.pos
	x.pos, x.counted = 0, 0
	if x.end == len(x.buf) {
		if len(x.buf) >= xmlTag {
			return false, atLine(x.line, cureAgain, "a tag of more than %d bytes", xmlTag)
		}
		x.buf = append(x.buf, make([]byte, len(x.buf))...)
	}
	// At least as much again as there is, so that a long tag is looked at only a few times.
	room := x.buf[x.end:]
	n, err := io.ReadAtLeast(x.in, room, min(max(x.end, 1), len(room)))
	x.end += n
	x.read += int64(n)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		x.eof, err = n == 0, nil
	}
	return n > 0, err
}

// count moves the line number up to pos. CR LF, CR and LF each end a line.
func (x *xmlReader) count() { x.countTo(x.pos) }

func (x *xmlReader) countTo(at int) {
	if at <= x.counted {
		return
	}
	part := x.buf[x.counted:at]
	x.counted = at
	n := bytes.Count(part, []byte{'\n'})
	if x.afterCR || bytes.IndexByte(part, '\r') >= 0 {
		n += x.countCR(part)
	}
	x.line = min(x.line+n, mostLines)
}

// countCR returns how many CR there are that are not the first half of a line end.
func (x *xmlReader) countCR(part []byte) int {
	n := bytes.Count(part, []byte{'\r'}) - bytes.Count(part, []byte("\r\n"))
	if x.afterCR && part[0] == '\n' {
		n--
	}
	x.afterCR = part[len(part)-1] == '\r'
	return n
}

// done is how much of the file has been read.
func (x *xmlReader) done() int64 { return x.read - int64(x.end-x.pos) }

// begin reads up to the root and returns as child does.
func (x *xmlReader) begin() error {
	for more := true; more && x.end < 4; {
		var err error
		if more, err = x.fill(); err != nil {
			return err
		}
	}
	head := x.buf[:x.end]
	if bytes.HasPrefix(head, []byte(bom)) {
		x.pos = len(bom)
	} else if len(head) > 1 && (head[0] == 0xff && head[1] == 0xfe || head[0] == 0xfe && head[1] == 0xff || head[0] == 0 || head[1] == 0) {
		return atLine(1, "save it in UTF-8", "the text is in UTF-16 or UTF-32")
	}
	for {
		kind, err := x.token()
		switch {
		case err != nil:
			return err
		case kind == xmlStart:
			return nil
		case kind == xmlFile:
			return atLine(x.here(), cureAgain, "there is no XML element in it")
		}
	}
}

// child moves to the next element inside the current one; false at the end of that.
func (x *xmlReader) child() (bool, error) {
	if x.empty {
		x.empty = false
		return false, nil
	}
	for {
		kind, err := x.token()
		switch {
		case err != nil:
			return false, err
		case kind == xmlStart:
			return true, nil
		case kind == xmlEnd:
			return false, nil
		case kind == xmlFile:
			return false, x.cut()
		}
	}
}

// cut says where the file ends too early.
func (x *xmlReader) cut() error {
	x.count()
	if n := len(x.open); n > 0 {
		return atLine(x.line, cureAgain, "the file ends inside <%s>", clip(x.names[x.open[n-1].name:]))
	}
	return atLine(x.line, cureAgain, "the file ends inside a tag")
}

// skip passes over what is inside the current element.
func (x *xmlReader) skip() error {
	if x.empty {
		x.empty = false
		return nil
	}
	for depth := len(x.open); len(x.open) >= depth; {
		more, err := x.child()
		if err != nil {
			return err
		}
		if more && x.empty {
			x.empty = false
		}
	}
	return nil
}

// finish reads to the end of the file, behind its root. Archives show only there
// whether all they held was sound.
func (x *xmlReader) finish() error {
	for {
		kind, err := x.token()
		switch {
		case err != nil:
			return err
		case kind == xmlStart:
			return atLine(x.line, cureAgain, "a second element behind the end of the first")
		case kind == xmlFile:
			return nil
		}
	}
}

// text returns the text inside the current element, which holds no other element.
func (x *xmlReader) text() ([]byte, error) {
	x.kept, x.keep = x.kept[:0], true
	defer func() { x.keep = false }()
	more, err := x.child()
	if err != nil {
		return nil, err
	}
	if more {
		return nil, atLine(x.here(), cureAgain, "<%s> where only text may stand", clip(x.local))
	}
	if bytes.IndexByte(x.kept, '&') >= 0 {
		return x.unescape(bytes.TrimSpace(x.kept))
	}
	return bytes.TrimSpace(x.kept), nil
}

// here is the line of what was read last.
func (x *xmlReader) here() int {
	x.count()
	return x.line
}

// tagLine is the line that the current element begins in, right after child returned it.
func (x *xmlReader) tagLine() int {
	x.countTo(x.start)
	return x.line
}

// is tells whether the current element has this name.
func (x *xmlReader) is(space, local string) bool {
	return string(x.local) == local && x.space(x.prefix) == space
}

// space returns the namespace of a prefix, "" where there is none.
func (x *xmlReader) space(prefix []byte) string {
	for i := len(x.bindings) - 1; i >= 0; i-- {
		if b := &x.bindings[i]; b.prefix == string(prefix) {
			return b.space
		}
	}
	return ""
}

// attr returns the value of an attribute without prefix, nil where there is none.
func (x *xmlReader) attr(name string) []byte {
	for i := range x.attrs {
		if string(x.attrs[i].name) == name {
			return x.attrs[i].value
		}
	}
	return nil
}

// attrIn returns the value of an attribute in a namespace.
func (x *xmlReader) attrIn(space, name string) []byte {
	for i := range x.attrs {
		prefix, local, ok := bytes.Cut(x.attrs[i].name, []byte{':'})
		if ok && string(local) == name && x.space(prefix) == space {
			return x.attrs[i].value
		}
	}
	return nil
}

// each calls read for every child of the current element; what read leaves is passed over.
func (x *xmlReader) each(read func() error) error {
	for {
		more, err := x.child()
		if err != nil || !more {
			return err
		}
		depth, empty := len(x.open), x.empty
		if err := read(); err != nil {
			return err
		}
		if len(x.open) == depth && x.empty == empty {
			if err := x.skip(); err != nil {
				return err
			}
		}
	}
}

// clip shortens a name for a message.
func clip(name []byte) string {
	q := quoted(name)
	return q[1 : len(q)-1]
}
