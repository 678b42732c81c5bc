package meshfile

import "bytes"

// aside passes over a comment, an instruction or a section of plain text.
func (x *xmlReader) aside() error {
	const longest = len("<![CDATA[")
	for x.end-x.pos < longest {
		if more, err := x.fill(); err != nil {
			return err
		} else if !more {
			break
		}
	}
	part := x.buf[x.pos:x.end]
	switch {
	case bytes.HasPrefix(part, []byte("<?xml")) && len(part) > 5 && isSpace(part[5]):
		return x.declaration()
	case bytes.HasPrefix(part, []byte("<?")):
		x.pos += 2
		return x.until("?>", false)
	case bytes.HasPrefix(part, []byte("<!--")):
		x.pos += 4
		return x.until("-->", false)
	case bytes.HasPrefix(part, []byte("<![CDATA[")) && len(x.open) > 0:
		x.pos += longest
		return x.until("]]>", x.keep)
	case bytes.HasPrefix(part, []byte("<!DOCTYPE")):
		return atLine(x.here(), "export the model again without it",
			"a document type declaration, which a model must not have")
	case x.eof && len(part) < longest:
		return x.cut()
	}
	return atLine(x.here(), cureAgain, "%s is no XML", quoted(part[:longest]))
}

// until passes over everything up to the mark and the mark, and keeps it where asked.
func (x *xmlReader) until(mark string, keep bool) error {
	for {
		part := x.buf[x.pos:x.end]
		at := bytes.Index(part, []byte(mark))
		inside := part[:max(at, 0)]
		if at < 0 {
			inside = part[:max(len(part)-len(mark)+1, 0)]
		}
		if keep {
			// Escaped here, because the whole text is unescaped at its end.
			if err := x.chars(bytes.ReplaceAll(inside, []byte{'&'}, []byte("&amp;"))); err != nil {
				return err
			}
		}
		x.pos += len(inside)
		if at >= 0 {
			x.pos += len(mark)
			return nil
		}
		if more, err := x.fill(); err != nil {
			return err
		} else if !more {
			return x.cut()
		}
	}
}

// declaration reads the first line of a file, which may name its encoding.
func (x *xmlReader) declaration() error {
	if len(x.open) > 0 || x.done() > int64(len(bom)) {
		return atLine(x.here(), cureAgain, "the XML declaration stands inside the file; it must come first")
	}
	for !bytes.Contains(x.buf[x.pos:x.end], []byte("?>")) {
		if more, err := x.fill(); err != nil {
			return err
		} else if !more {
			return x.cut()
		}
	}
	end := bytes.Index(x.buf[x.pos:x.end], []byte("?>"))
	tag := append(bytes.Clone(x.buf[x.pos+5:x.pos+end]), '>')
	if n, err := x.attributes(tag, 0); err != nil {
		return err
	} else if n != len(tag)-1 {
		return atLine(x.here(), cureAgain, "the XML declaration is not whole")
	}
	if e := bytes.ToLower(x.attr("encoding")); len(e) > 0 && string(e) != "utf-8" && string(e) != "us-ascii" && string(e) != "ascii" {
		return atLine(x.here(), "save it in UTF-8", "the text is in the encoding %s", quoted(e))
	}
	x.pos += end + 2
	return nil
}
