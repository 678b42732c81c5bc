package xmltoken

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"
)

// What token met.
const (
	aside = iota // a comment or an instruction
	startTag
	endTag
	fileEnd
)

// token reads up to the next tag of an element, and the tag; or up to the end of the file,
// behind the root; aside where something is wrong.
func (x *Reader) token() (met int) {
	for met == aside && x.err == nil {
		x.bindings = x.bindings[:x.leave]
		part := x.buf[x.pos:x.end]
		at := bytes.IndexByte(part, '<')
		if at >= 0 {
			part = part[:at]
		}
		if x.keep || len(x.open) == 0 {
			x.chars(part)
		}
		x.pos += len(part)
		if at >= 0 {
			met = x.tag()
		} else if len(x.open) > 0 {
			x.more()
		} else if !x.fill() {
			met = fileEnd
		}
	}
	if x.err != nil {
		return aside
	}
	return met
}

// chars takes text between tags. Outside the root there may be none but white space.
func (x *Reader) chars(text []byte) {
	if len(x.open) > 0 {
		if len(x.kept)+len(text) > maxText {
			x.fail("a text of more than %d characters", maxText)
			return
		}
		x.kept = append(x.kept, text...)
	} else if rest := bytes.TrimLeft(text, " \t\r\n"); len(rest) > 0 {
		x.countTo(x.pos + len(text) - len(rest))
		x.fail("text outside the XML elements, %s", quoted(bytes.TrimSpace(rest)))
	}
}

// tag reads what begins with < at pos.
func (x *Reader) tag() (met int) {
	for x.err == nil {
		part := x.buf[x.pos:x.end]
		x.start = x.pos
		n := 0
		switch {
		case len(part) < 2:
		case part[1] == '/':
			met = endTag
			n = x.endTag(part)
		case part[1] == '!' || part[1] == '?':
			x.aside()
			return aside
		default:
			met = startTag
			n = x.startTag(part)
		}
		if x.pos += n; n > 0 || x.err == nil && !x.more() {
			break
		}
	}
	return met
}

// endTag reads an end tag; 0 where the buffer ends first.
func (x *Reader) endTag(b []byte) int {
	end := bytes.IndexByte(b, '>')
	if end < 0 {
		return 0
	}
	name := bytes.TrimRight(b[2:end], " \t\r\n")
	top := len(x.open) - 1
	if top < 0 {
		x.fail("</%s> ends nothing", Clip(name))
		return 0
	}
	o := x.open[top]
	if string(x.names[o.name:]) != string(name) {
		x.fail("<%s> is ended by </%s>", Clip(x.names[o.name:]), Clip(name))
		return 0
	}
	x.names, x.open = x.names[:o.name], x.open[:top]
	x.bindings, x.leave = x.bindings[:o.bindings], o.bindings
	return end + 1
}

// startTag reads a start tag; 0 where the buffer ends first.
func (x *Reader) startTag(b []byte) int {
	i := 1
	for i < len(b) && !delimiter(b[i]) {
		i++
	}
	if i == len(b) {
		return 0
	}
	name := b[1:i]
	if len(name) == 0 || !nameStart(name[0]) || name[len(name)-1] == ':' {
		x.fail("%s where the name of an XML element was expected", quoted(b[:i+1]))
		return 0
	}
	if i = x.attributes(b, i); i == 0 {
		return 0
	}
	x.empty = b[i] == '/'
	if x.empty {
		i++
		if i == len(b) {
			return 0
		}
		if b[i] != '>' {
			x.fail("a / that ends no tag in <%s>", Clip(name))
			return 0
		}
	}
	x.Prefix, x.Local = nil, name
	if at := bytes.IndexByte(name, ':'); at >= 0 {
		x.Prefix, x.Local = name[:at], name[at+1:]
	}
	x.push(name)
	return i + 1
}

// push notes what holds inside the element.
func (x *Reader) push(name []byte) {
	before := len(x.bindings)
	for i := range x.Attrs {
		a := &x.Attrs[i]
		if rest, ok := bytes.CutPrefix(a.Name, []byte("xmlns")); ok && (len(rest) == 0 || rest[0] == ':') {
			x.bindings = append(x.bindings, binding{string(bytes.TrimPrefix(rest, []byte{':'})), string(a.Value)})
		}
	}
	if len(x.bindings) > maxBindings {
		x.fail("more than %d prefixes declared at once", maxBindings)
	}
	x.bound(name)
	for i := range x.Attrs {
		x.bound(x.Attrs[i].Name)
	}
	if x.empty {
		x.leave = before
		return
	}
	if len(x.open) == maxDepth {
		x.fail("XML elements inside one another, %d deep", maxDepth)
	}
	x.open = append(x.open, element{len(x.names), before})
	x.names = append(x.names, name...)
	x.leave = len(x.bindings)
}

// bound holds that the prefix of a name, where it has one, stands for a namespace
// ("Namespaces in XML 1.0", constraint "Prefix Declared"): without, one reader sees an
// element of the format and another a stranger.
func (x *Reader) bound(name []byte) {
	p, _, prefixed := bytes.Cut(name, []byte{':'})
	if prefixed && x.Space(p) == "" && string(p) != "xml" && string(p) != "xmlns" {
		x.fail("the prefix of %s is not declared", quoted(name))
	}
}

// attributes reads the attributes from b[i] on and returns where the tag ends; 0 where
// the buffer ends first.
func (x *Reader) attributes(b []byte, i int) int {
	x.Attrs = x.Attrs[:0]
	for {
		start := i
		for i < len(b) && isSpace(b[i]) {
			i++
		}
		if i == len(b) {
			return 0
		}
		if b[i] == '>' || b[i] == '/' {
			return i
		}
		if i == start {
			x.fail("%s inside a tag where a blank was expected", quoted(b[i:i+1]))
			return 0
		}
		from := i
		for i < len(b) && !delimiter(b[i]) {
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
			return 0
		}
		if len(name) == 0 {
			x.fail("%s inside a tag where name=\"value\" was expected", quoted(b[from:i+1]))
			return 0
		}
		if i = x.value(name, b, i); i == 0 {
			return 0
		}
	}
}

// value reads the value of an attribute in quotes from b[i] on and returns where it
// ends; 0 where the buffer ends first.
func (x *Reader) value(name, b []byte, i int) int {
	quote := b[i]
	if quote != '"' && quote != '\'' {
		x.fail("the value of %s is not in quotes", quoted(name))
		return 0
	}
	i++
	from, entity := i, false
	for ; i < len(b) && b[i] != quote; i++ {
		if b[i] == '<' {
			x.fail("the value of %s is not ended", quoted(name))
			return 0
		}
		entity = entity || b[i] == '&'
	}
	if i == len(b) {
		return 0
	}
	value := b[from:i]
	if entity {
		value = x.unescape(value)
	}
	for k := range x.Attrs {
		if string(x.Attrs[k].Name) == string(name) {
			x.fail("%s stands twice in a tag", quoted(name))
			return 0
		}
	}
	if len(x.Attrs) == maxAttrs {
		x.fail("a tag with more than %d attributes", maxAttrs)
		return 0
	}
	x.Attrs = append(x.Attrs, Attr{name, value})
	return i + 1
}

func isSpace(c byte) bool { return c == ' ' || c >= '\t' && c <= '\r' }

func delimiter(c byte) bool { return c <= ' ' || c == '>' || c == '/' || c == '=' || c == '<' }

func nameStart(c byte) bool {
	return c|0x20 >= 'a' && c|0x20 <= 'z' || c == '_' || c >= utf8.RuneSelf
}

// entities are the five that XML knows without a declaration.
var entities = map[string]rune{"lt": '<', "gt": '>', "amp": '&', "quot": '"', "apos": '\''}

// unescape returns the text with its entities replaced.
func (x *Reader) unescape(b []byte) []byte {
	var out []byte
	for {
		before, rest, found := bytes.Cut(b, []byte{'&'})
		out = append(out, before...)
		if !found {
			return out
		}
		name, after, ok := bytes.Cut(rest, []byte{';'})
		r, known := entities[string(name)]
		if digits, isNumber := strings.CutPrefix(string(name), "#"); isNumber {
			base := 10
			if hex, isHex := strings.CutPrefix(digits, "x"); isHex {
				digits, base = hex, 16
			}
			n, err := strconv.ParseUint(digits, base, 21)
			r, known = rune(n), err == nil && isChar(rune(n))
		}
		if !ok || !known {
			x.fail("%s is no character that XML knows", quoted(append([]byte{'&'}, name...)))
			return nil
		}
		out = utf8.AppendRune(out, r)
		b = after
	}
}

// isChar tells whether XML 1.0 allows the character (production 2, Char).
func isChar(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || r >= ' ' && r < 0xd800 || r >= 0xe000 && r < 0xfffe || r >= 0x10000 && r <= 0x10ffff
}
