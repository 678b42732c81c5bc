package meshfile

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"
)

// xmlKind is what token met.
type xmlKind int

const (
	xmlNothing xmlKind = iota // a comment or an instruction
	xmlStart
	xmlEnd
	xmlFile // its end
)

// token reads text up to the next tag, and the tag.
func (x *xmlReader) token() (xmlKind, error) {
	x.bindings = x.bindings[:x.leave]
	for {
		part := x.buf[x.pos:x.end]
		i := bytes.IndexByte(part, '<')
		if i == 0 {
			return x.tag()
		}
		if i > 0 {
			part = part[:i]
		}
		if x.keep || len(x.open) == 0 {
			if err := x.chars(part); err != nil {
				return 0, err
			}
		}
		x.pos += len(part)
		if i > 0 {
			return x.tag()
		}
		if more, err := x.fill(); err != nil || !more {
			if err == nil && len(x.open) > 0 {
				err = x.cut()
			}
			return xmlFile, err
		}
	}
}

// chars takes text between tags. Outside the root there may be none but white space.
func (x *xmlReader) chars(text []byte) error {
	if len(x.open) > 0 {
		if len(x.kept)+len(text) > maxWord {
			return atLine(x.here(), cureAgain, "a text of more than %d characters", maxWord)
		}
		x.kept = append(x.kept, text...)
		return nil
	}
	if rest := bytes.TrimLeft(text, " \t\r\n"); len(rest) > 0 {
		x.countTo(x.pos + len(text) - len(rest))
		return atLine(x.line, cureAgain, "text outside the XML elements, %s", quoted(bytes.TrimSpace(rest)))
	}
	return nil
}

// tag reads what begins with < at pos.
func (x *xmlReader) tag() (xmlKind, error) {
	for {
		part := x.buf[x.pos:x.end]
		x.start = x.pos
		var (
			n    int
			kind xmlKind
			err  error
		)
		switch {
		case len(part) < 2:
		case part[1] == '/':
			kind = xmlEnd
			n, err = x.endTag(part)
		case part[1] == '!' || part[1] == '?':
			return xmlNothing, x.aside()
		default:
			kind = xmlStart
			n, err = x.startTag(part)
		}
		if err != nil {
			return 0, err
		}
		if n > 0 {
			x.pos += n
			return kind, nil
		}
		if more, err := x.fill(); err != nil || !more {
			if err == nil {
				err = x.cut()
			}
			return 0, err
		}
	}
}

// endTag reads an end tag; 0 where the buffer ends first.
func (x *xmlReader) endTag(b []byte) (int, error) {
	end := bytes.IndexByte(b, '>')
	if end < 0 {
		return 0, nil
	}
	name := bytes.TrimRight(b[2:end], " \t\r\n")
	top := len(x.open) - 1
	if top < 0 {
		return 0, atLine(x.here(), cureAgain, "</%s> ends nothing", clip(name))
	}
	o := x.open[top]
	if string(x.names[o.name:]) != string(name) {
		return 0, atLine(x.here(), cureAgain, "<%s> is ended by </%s>", clip(x.names[o.name:]), clip(name))
	}
	x.names, x.open = x.names[:o.name], x.open[:top]
	x.bindings, x.leave = x.bindings[:o.bindings], o.bindings
	return end + 1, nil
}

// startTag reads a start tag; 0 where the buffer ends first.
func (x *xmlReader) startTag(b []byte) (int, error) {
	i := 1
	for i < len(b) && !xmlDelimiter(b[i]) {
		i++
	}
	if i == len(b) {
		return 0, nil
	}
	name := b[1:i]
	if len(name) == 0 || !nameStart(name[0]) || name[len(name)-1] == ':' {
		return 0, atLine(x.here(), cureAgain, "%s where the name of an XML element was expected", quoted(b[:i+1]))
	}
	i, err := x.attributes(b, i)
	if i == 0 || err != nil {
		return 0, err
	}
	x.empty = b[i] == '/'
	if x.empty {
		i++
		if i == len(b) {
			return 0, nil
		}
		if b[i] != '>' {
			return 0, atLine(x.here(), cureAgain, "a / that ends no tag in <%s>", clip(name))
		}
	}
	x.prefix, x.local = nil, name
	if at := bytes.IndexByte(name, ':'); at >= 0 {
		x.prefix, x.local = name[:at], name[at+1:]
	}
	if err := x.push(name); err != nil {
		return 0, err
	}
	return i + 1, nil
}

// push notes what holds inside the element.
func (x *xmlReader) push(name []byte) error {
	before := len(x.bindings)
	for i := range x.attrs {
		a := &x.attrs[i]
		if rest, ok := bytes.CutPrefix(a.name, []byte("xmlns")); ok && (len(rest) == 0 || rest[0] == ':') {
			x.bindings = append(x.bindings, xmlBinding{string(bytes.TrimPrefix(rest, []byte{':'})), string(a.value)})
		}
	}
	if len(x.bindings) > maxBindings {
		return atLine(x.here(), cureAgain, "more than %d prefixes declared at once", maxBindings)
	}
	if err := x.bound(name); err != nil {
		return err
	}
	for i := range x.attrs {
		if err := x.bound(x.attrs[i].name); err != nil {
			return err
		}
	}
	if x.empty {
		x.leave = before
		return nil
	}
	if len(x.open) == xmlDepth {
		return atLine(x.here(), cureAgain, "XML elements inside one another, %d deep", xmlDepth)
	}
	x.open = append(x.open, xmlOpen{len(x.names), before})
	x.names = append(x.names, name...)
	x.leave = len(x.bindings)
	return nil
}

// maxBindings keeps it cheap to look up the namespace of every element.
const maxBindings = 128

// bound holds that the prefix of a name, where it has one, stands for a namespace
// ("Namespaces in XML 1.0", constraint "Prefix Declared"): without, one reader sees an
// element of the format and another a stranger.
func (x *xmlReader) bound(name []byte) error {
	at := bytes.IndexByte(name, ':')
	if at < 0 {
		return nil
	}
	if p := name[:at]; x.space(p) != "" || string(p) == "xml" || string(p) == "xmlns" {
		return nil
	}
	return atLine(x.here(), cureAgain, "the prefix of %s is not declared", quoted(name))
}

func xmlDelimiter(c byte) bool { return c <= ' ' || c == '>' || c == '/' || c == '=' || c == '<' }

func nameStart(c byte) bool {
	return c|0x20 >= 'a' && c|0x20 <= 'z' || c == '_' || c >= utf8.RuneSelf
}

// maxAttrs keeps the comparison of every name with every other one cheap.
const maxAttrs = 256

// attributes reads the attributes from b[i] on and returns where the tag ends; 0 where
// the buffer ends first.
func (x *xmlReader) attributes(b []byte, i int) (int, error) {
	x.attrs = x.attrs[:0]
	for {
		start := i
		for i < len(b) && isSpace(b[i]) {
			i++
		}
		if i == len(b) {
			return 0, nil
		}
		if b[i] == '>' || b[i] == '/' {
			return i, nil
		}
		if i == start {
			return 0, atLine(x.here(), cureAgain, "%s inside a tag where a blank was expected", quoted(b[i:i+1]))
		}
		from := i
		for i < len(b) && !xmlDelimiter(b[i]) {
			i++
		}
		name := b[from:i]
		for i < len(b) && isSpace(b[i]) {
			i++
		}
		if i < len(b) && b[i] == '=' {
			i++
		} else if i < len(b) {
			name = nil
		}
		for i < len(b) && isSpace(b[i]) {
			i++
		}
		if i == len(b) {
			return 0, nil
		}
		if len(name) == 0 {
			return 0, atLine(x.here(), cureAgain, "%s inside a tag where name=\"value\" was expected", quoted(b[from:i+1]))
		}
		n, err := x.value(name, b, i)
		if n == 0 || err != nil {
			return 0, err
		}
		i = n
	}
}

// value reads the value of an attribute in quotes from b[i] on and returns where it
// ends; 0 where the buffer ends first.
func (x *xmlReader) value(name, b []byte, i int) (int, error) {
	quote := b[i]
	if quote != '"' && quote != '\'' {
		return 0, atLine(x.here(), cureAgain, "the value of %s is not in quotes", quoted(name))
	}
	i++
	from, entity := i, false
	for ; i < len(b) && b[i] != quote; i++ {
		if b[i] == '<' {
			return 0, atLine(x.here(), cureAgain, "the value of %s is not ended", quoted(name))
		}
		entity = entity || b[i] == '&'
	}
	if i == len(b) {
		return 0, nil
	}
	value := b[from:i]
	if entity {
		var err error
		if value, err = x.unescape(value); err != nil {
			return 0, err
		}
	}
	for k := range x.attrs {
		if string(x.attrs[k].name) == string(name) {
			return 0, atLine(x.here(), cureAgain, "%s stands twice in a tag", quoted(name))
		}
	}
	if len(x.attrs) == maxAttrs {
		return 0, atLine(x.here(), cureAgain, "a tag with more than %d attributes", maxAttrs)
	}
	x.attrs = append(x.attrs, xmlAttr{name, value})
	return i + 1, nil
}

// entities are the five that XML knows without a declaration.
var entities = map[string]rune{"lt": '<', "gt": '>', "amp": '&', "quot": '"', "apos": '\''}

// unescape returns the text with its entities replaced.
func (x *xmlReader) unescape(b []byte) ([]byte, error) {
	var out []byte
	for {
		before, rest, found := bytes.Cut(b, []byte{'&'})
		out = append(out, before...)
		if !found {
			return out, nil
		}
		name, after, ok := bytes.Cut(rest, []byte{';'})
		r, known := entities[string(name)]
		if digits, isNumber := strings.CutPrefix(string(name), "#"); isNumber {
			base := 10
			if hex, isHex := strings.CutPrefix(digits, "x"); isHex {
				digits, base = hex, 16
			}
			n, err := strconv.ParseUint(digits, base, 21)
			r, known = rune(n), err == nil && xmlChar(rune(n))
		}
		if !ok || !known {
			return nil, atLine(x.here(), cureAgain, "%s is no character that XML knows", quoted(append([]byte{'&'}, name...)))
		}
		out = utf8.AppendRune(out, r)
		b = after
	}
}

// xmlChar tells whether XML 1.0 allows the character (production 2, Char).
func xmlChar(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || r >= ' ' && r < 0xd800 || r >= 0xe000 && r < 0xfffe || r >= 0x10000 && r <= 0x10ffff
}
