package xmltoken

import "bytes"

// aside passes over a comment, an instruction or a section of plain text.
func (x *Reader) aside() {
	const longest = len("<![CDATA[")
	for x.end-x.pos < longest && x.fill() {
	}
	part := x.buf[x.pos:x.end]
	switch {
	case bytes.HasPrefix(part, []byte("<?xml")) && len(part) > 5 && isSpace(part[5]):
		x.declaration()
	case bytes.HasPrefix(part, []byte("<?")):
		x.pos += 2
		x.until("?>", false)
	case bytes.HasPrefix(part, []byte("<!--")):
		x.pos += 4
		x.until("-->", false)
	case bytes.HasPrefix(part, []byte("<![CDATA[")) && len(x.open) > 0:
		x.pos += longest
		x.until("]]>", x.keep)
	case bytes.HasPrefix(part, []byte("<!DOCTYPE")):
		x.Stop(&Error{x.Line(), "a document type declaration, which a model must not have", "export the model again without it"})
	case len(part) < longest:
		x.more()
	default:
		x.fail("%s is no XML", quoted(part[:longest]))
	}
}

// until passes over everything up to the mark and the mark, and keeps it where asked.
func (x *Reader) until(mark string, keep bool) {
	for more := true; more; more = x.more() {
		part := x.buf[x.pos:x.end]
		at := bytes.Index(part, []byte(mark))
		inside := part[:max(at, 0)]
		if at < 0 {
			inside = part[:max(len(part)-len(mark)+1, 0)]
		}
		if keep {
			// Escaped here, because the whole text is unescaped at its end.
			x.chars(bytes.ReplaceAll(inside, []byte{'&'}, []byte("&amp;")))
		}
		x.pos += len(inside)
		if at >= 0 {
			x.pos += len(mark)
			return
		}
	}
}

// declaration reads the first line of a file, which may name its encoding.
func (x *Reader) declaration() {
	if done := x.read - int64(x.end-x.pos); len(x.open) > 0 || done > int64(len(bom)) {
		x.fail("the XML declaration stands inside the file; it must come first")
		return
	}
	end := -1
	for end < 0 {
		if end = bytes.Index(x.buf[x.pos:x.end], []byte("?>")); end < 0 && !x.more() {
			return
		}
	}
	tag := append(bytes.Clone(x.buf[x.pos+5:x.pos+end]), '>')
	if n := x.attributes(tag, 0); n != len(tag)-1 {
		x.fail("the XML declaration is not whole")
	}
	if e := bytes.ToLower(x.Attr("encoding")); len(e) > 0 && string(e) != "utf-8" && string(e) != "us-ascii" && string(e) != "ascii" {
		x.Stop(&Error{x.Line(), "the text is in the encoding " + quoted(e), "save it in UTF-8"})
	}
	x.pos += end + 2
}
