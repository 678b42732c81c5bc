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
// behind the root.
func (x *Reader) token() (met int, err error) {
	for met == aside && err == nil {
		x.bindings = x.bindings[:x.leave]
		part := x.buf[x.pos:x.end]
		at := bytes.IndexByte(part, '<')
		if at >= 0 {
			part = part[:at]
		}
		if x.keep || len(x.open) == 0 {
			if err := x.chars(part); err != nil {
				return 0, err
			}
		}
		x.pos += len(part)
		if at >= 0 {
			met, err = x.tag()
			continue
		}
		if len(x.open) > 0 {
			err = x.more()
			continue
		}
		var more bool
		if more, err = x.fill(); !more {
			return fileEnd, err
		}
	}
	return met, err
}

// chars takes text between tags. Outside the root there may be none but white space.
func (x *Reader) chars(text []byte) error {
	if len(x.open) > 0 {
		if len(x.kept)+len(text) > maxText {
			return x.fault("a text of more than %d characters", maxText)
		}
		x.kept = append(x.kept, text...)
		return nil
	}
	if rest := bytes.TrimLeft(text, " \t\r\n"); len(rest) > 0 {
		x.countTo(x.pos + len(text) - len(rest))
		return x.fault("text outside the XML elements, %s", quoted(bytes.TrimSpace(rest)))
	}
	return nil
}

// tag reads what begins with < at pos.
func (x *Reader) tag() (met int, err error) {
	for {
		part := x.buf[x.pos:x.end]
		x.start = x.pos
		n := 0
		switch {
		case len(part) < 2:
		case part[1] == '/':
			met = endTag
			n, err = x.endTag(part)
		case part[1] == '!' || part[1] == '?':
			return aside, x.aside()
		default:
			met = startTag
			n, err = x.startTag(part)
		}
		if err != nil {
			return 0, err
		}
		if x.pos += n; n > 0 {
			return met, nil
		}
		if err := x.more(); err != nil {
			return 0, err
		}
	}
}

// endTag reads an end tag; 0 where the buffer ends first.
func (x *Reader) endTag(b []byte) (int, error) {
	end := bytes.IndexByte(b, '>')
	if end < 0 {
		return 0, nil
	}
	name := bytes.TrimRight(b[2:end], " \t\r\n")
	top := len(x.open) - 1
	if top < 0 {
		return 0, x.fault("</%s> ends nothing", Clip(name))
	}
	o := x.open[top]
	if string(x.names[o.name:]) != string(name) {
		return 0, x.fault("<%s> is ended by </%s>", Clip(x.names[o.name:]), Clip(name))
	}
	x.names, x.open = x.names[:o.name], x.open[:top]
	x.bindings, x.leave = x.bindings[:o.bindings], o.bindings
	return end + 1, nil
}

// startTag reads a start tag; 0 where the buffer ends first.
func (x *Reader) startTag(b []byte) (int, error) {
	i := 1
	for i < len(b) && !delimiter(b[i]) {
		i++
	}
	if i == len(b) {
		return 0, nil
	}
	name := b[1:i]
	if len(name) == 0 || !nameStart(name[0]) || name[len(name)-1] == ':' {
		return 0, x.fault("%s where the name of an XML element was expected", quoted(b[:i+1]))
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
			return 0, x.fault("a / that ends no tag in <%s>", Clip(name))
		}
	}
	x.Prefix, x.Local = nil, name
	if at := bytes.IndexByte(name, ':'); at >= 0 {
		x.Prefix, x.Local = name[:at], name[at+1:]
	}
	return i + 1, x.push(name)
}

// push notes what holds inside the element.
func (x *Reader) push(name []byte) error {
	before := len(x.bindings)
	for i := range x.Attrs {
		a := &x.Attrs[i]
		if rest, ok := bytes.CutPrefix(a.Name, []byte("xmlns")); ok && (len(rest) == 0 || rest[0] == ':') {
			x.bindings = append(x.bindings, binding{string(bytes.TrimPrefix(rest, []byte{':'})), string(a.Value)})
		}
	}
	if len(x.bindings) > maxBindings {
		return x.fault("more than %d prefixes declared at once", maxBindings)
	}
	if err := x.bound(name); err != nil {
		return err
	}
	for i := range x.Attrs {
		if err := x.bound(x.Attrs[i].Name); err != nil {
			return err
		}
	}
	if x.empty {
		x.leave = before
		return nil
	}
	if len(x.open) == maxDepth {
		return x.fault("XML elements inside one another, %d deep", maxDepth)
	}
	x.open = append(x.open, element{len(x.names), before})
	x.names = append(x.names, name...)
	x.leave = len(x.bindings)
	return nil
}

// bound holds that the prefix of a name, where it has one, stands for a namespace
// ("Namespaces in XML 1.0", constraint "Prefix Declared"): without, one reader sees an
// element of the format and another a stranger.
func (x *Reader) bound(name []byte) error {
	at := bytes.IndexByte(name, ':')
	if at < 0 {
		return nil
	}
	if p := name[:at]; x.Space(p) != "" || string(p) == "xml" || string(p) == "xmlns" {
		return nil
	}
	return x.fault("the prefix of %s is not declared", quoted(name))
}

// attributes reads the attributes from b[i] on and returns where the tag ends; 0 where
// the buffer ends first.
func (x *Reader) attributes(b []byte, i int) (int, error) {
	x.Attrs = x.Attrs[:0]
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
			return 0, x.fault("%s inside a tag where a blank was expected", quoted(b[i:i+1]))
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
			return 0, nil
		}
		if len(name) == 0 {
			return 0, x.fault("%s inside a tag where name=\"value\" was expected", quoted(b[from:i+1]))
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
func (x *Reader) value(name, b []byte, i int) (int, error) {
	quote := b[i]
	if quote != '"' && quote != '\'' {
		return 0, x.fault("the value of %s is not in quotes", quoted(name))
	}
	i++
	from, entity := i, false
	for ; i < len(b) && b[i] != quote; i++ {
		if b[i] == '<' {
			return 0, x.fault("the value of %s is not ended", quoted(name))
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
	for k := range x.Attrs {
		if string(x.Attrs[k].Name) == string(name) {
			return 0, x.fault("%s stands twice in a tag", quoted(name))
		}
	}
	if len(x.Attrs) == maxAttrs {
		return 0, x.fault("a tag with more than %d attributes", maxAttrs)
	}
	x.Attrs = append(x.Attrs, Attr{name, value})
	return i + 1, nil
}

func isSpace(c byte) bool { return c == ' ' || c >= '\t' && c <= '\r' }

func delimiter(c byte) bool { return c <= ' ' || c == '>' || c == '/' || c == '=' || c == '<' }

func nameStart(c byte) bool {
	return c|0x20 >= 'a' && c|0x20 <= 'z' || c == '_' || c >= utf8.RuneSelf
}

// entities are the five that XML knows without a declaration.
var entities = map[string]rune{"lt": '<', "gt": '>', "amp": '&', "quot": '"', "apos": '\''}

// unescape returns the text with its entities replaced.
func (x *Reader) unescape(b []byte) ([]byte, error) {
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
			r, known = rune(n), err == nil && isChar(rune(n))
		}
		if !ok || !known {
			return nil, x.fault("%s is no character that XML knows", quoted(append([]byte{'&'}, name...)))
		}
		out = utf8.AppendRune(out, r)
		b = after
	}
}

// isChar tells whether XML 1.0 allows the character (production 2, Char).
func isChar(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || r >= ' ' && r < 0xd800 || r >= 0xe000 && r < 0xfffe || r >= 0x10000 && r <= 0x10ffff
}
