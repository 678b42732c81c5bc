// Package xmltoken goes through an XML file once, forwards, and hands out its elements with
// their attributes and lines.
//
// It stands beside encoding/xml for speed: nearly all of a mesh in XML is small elements
// with a few attributes, of which this package reads 590 MB a second and the standard
// library 40, with several pieces of fresh memory for each. It also knows lines, and holds
// that prefixes are declared and attributes stand once. Memory does not follow the length
// of the file, and what one element may ask for is bounded.
//
// It holds what a file must be to be XML: tags that match, attributes in quotes, one root.
// It does not look into names beyond their first letter, nor into text that nobody asks
// for. Document type declarations are refused: what they define could be anything, and no
// file of data needs one. The text must be UTF-8.
package xmltoken

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"printlint/internal/pathname"
)

// Bounds on what a file may ask for; all are far beyond what programs write (judgement).
const (
	bufferSize  = 64 << 10 // how much of a file is held at once; it stays in the processor's cache
	maxTag      = 1 << 20  // bytes of one tag, which must fit in the buffer
	maxText     = 4096     // characters of a text that is asked for
	maxDepth    = 256      // elements in one another
	maxAttrs    = 256      // of a tag: each name is compared with all others
	maxBindings = 128      // prefixes at once: the namespace of every element is looked up among them
	maxLines    = math.MaxInt32
)

const bom = "\xef\xbb\xbf"

// Error says what is wrong with a file, where, and what cures it.
type Error struct {
	// Line is the line of the file, from 1.
	Line int
	// Problem is what is wrong, Cure what the owner of the file can do about it.
	Problem, Cure string
}

// Error returns the place, the problem and the cure in one line.
func (e *Error) Error() string { return fmt.Sprintf("line %d: %s; %s", e.Line, e.Problem, e.Cure) }

// Stop ends the reading, because of an error of whoever reads: the first one stays, and
// there are no more elements.
func (x *Reader) Stop(err error) {
	if x.err == nil {
		x.err = err
	}
}

// Err returns what ended the reading: an *Error, what the underlying reader returned, or
// what Stop was given; nil where the file is sound so far.
func (x *Reader) Err() error { return x.err }

// fail stops at the line of what was read last.
func (x *Reader) fail(format string, args ...any) {
	x.Stop(&Error{x.Line(), fmt.Sprintf(format, args...), "export or download the file again"})
}

// Reader reads an XML file. After Begin or Child was true its fields tell of the current
// element; they are valid until the reader moves on. The element's own children are read
// with Child until it returns false, or Skip passes over them.
//
// The first error ends the reading: from then on there are no elements and no texts, and
// Err tells of it. It is to be asked for at the end, and before what was read is trusted.
type Reader struct {
	// Local is the name of the current element without its prefix, Prefix is that.
	Local, Prefix []byte
	// Attrs are its attributes, in the order of the file, declarations of prefixes among them.
	Attrs []Attr

	in       io.Reader
	buf      []byte
	pos, end int
	start    int // of the last tag
	eof      bool
	read     int64 // bytes of the file so far

	line    int // of buf[counted]
	counted int
	afterCR bool // the byte before counted is a CR

	err   error
	empty bool // the current element has no content
	keep  bool // text, into kept
	kept  []byte

	open     []element // those around the current place
	names    []byte    // their names, as written
	bindings []binding
	leave    int // how many bindings hold for the next tag
}

// Attr is an attribute: its name as written, and its value with all entities replaced.
type Attr struct{ Name, Value []byte }

// element is one whose end has not been met: where its name begins and how many bindings
// held before it.
type element struct{ name, bindings int }

// binding gives a prefix its namespace.
type binding struct{ prefix, space string }

// New returns a reader that stands before the root.
func New(in io.Reader) *Reader {
	return &Reader{in: in, buf: make([]byte, bufferSize), line: 1}
}

// fill moves what is left to the front and reads on; false at the end of the file.
func (x *Reader) fill() bool {
	if x.eof || x.err != nil {
		return false
	}
	x.countTo(x.pos)
	copy(x.buf, x.buf[x.pos:x.end])
	x.end -= x.pos
	x.pos, x.counted = 0, 0
	if x.end == len(x.buf) {
		if len(x.buf) >= maxTag {
			x.fail("a tag of more than %d bytes", maxTag)
			return false
		}
		x.buf = append(x.buf, make([]byte, len(x.buf))...)
	}
	// At least as much again as there is, so that a long tag is looked at only a few times.
	room := x.buf[x.end:]
	n, err := io.ReadAtLeast(x.in, room, min(max(x.end, 1), len(room)))
	x.end += n
	x.read += int64(n)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		x.eof = n == 0
	} else if err != nil {
		x.Stop(err)
	}
	return n > 0 && x.err == nil
}

// more is fill where the file must go on.
func (x *Reader) more() bool {
	if x.fill() {
		return true
	}
	where := "a tag"
	if n := len(x.open); n > 0 {
		where = "<" + Clip(x.names[x.open[n-1].name:]) + ">"
	}
	x.fail("the file ends inside %s", where)
	return false
}

// countTo moves the line number up to a place. CR LF, CR and LF each end a line.
func (x *Reader) countTo(at int) {
	if at <= x.counted {
		return
	}
	part := x.buf[x.counted:at]
	x.counted = at
	n := bytes.Count(part, []byte{'\n'})
	if x.afterCR || bytes.IndexByte(part, '\r') >= 0 {
		// A CR that is the first half of a line end does not count.
		n += bytes.Count(part, []byte{'\r'}) - bytes.Count(part, []byte("\r\n"))
		if x.afterCR && part[0] == '\n' {
			n--
		}
		x.afterCR = part[len(part)-1] == '\r'
	}
	x.line = min(x.line+n, maxLines)
}

// Line is the line of what was read last.
func (x *Reader) Line() int {
	x.countTo(x.pos)
	return x.line
}

// TagLine is the line that the current element begins in, right after Begin or Child.
func (x *Reader) TagLine() int {
	x.countTo(x.start)
	return x.line
}

// mostShown is how many characters of the file a message quotes.
const mostShown = 24

// quoted returns a piece of the file fit for a message.
func quoted(b []byte) string {
	if len(b) == 0 {
		return "nothing"
	}
	return pathname.Quoted(string(b), mostShown)
}

// Clip returns a name fit for a message, without quotes.
func Clip(name []byte) string {
	q := pathname.Quoted(string(name), mostShown)
	return q[1 : len(q)-1]
}
