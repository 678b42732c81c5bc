package xmltoken

import "bytes"

// Begin reads up to the root, which then is the current element.
func (x *Reader) Begin() bool {
	for x.end < 4 && x.fill() {
	}
	head := x.buf[:x.end]
	if bytes.HasPrefix(head, []byte(bom)) {
		x.pos = len(bom)
	} else if len(head) > 1 && (head[0] == 0xff && head[1] == 0xfe || head[0] == 0xfe && head[1] == 0xff || head[0] == 0 || head[1] == 0) {
		x.Stop(&Error{1, "the text is in UTF-16 or UTF-32", "save it in UTF-8"})
	}
	met := x.token()
	if met == fileEnd {
		x.fail("there is no XML element in it")
	}
	return met == startTag
}

// Child moves to the next element inside the current one; false at the end of that.
func (x *Reader) Child() bool {
	if x.empty {
		x.empty = false
		return false
	}
	met := x.token()
	if met == fileEnd {
		x.more()
	}
	return met == startTag
}

// Skip passes over what is inside the current element.
func (x *Reader) Skip() {
	if x.empty {
		x.empty = false
		return
	}
	for depth := len(x.open); len(x.open) >= depth && x.err == nil; {
		if x.Child() && x.empty {
			x.empty = false
		}
	}
}

// Each calls read for every child of the current element; what read leaves of a child is
// passed over.
func (x *Reader) Each(read func()) {
	for x.Child() {
		depth, empty := len(x.open), x.empty
		if read(); len(x.open) == depth && x.empty == empty {
			x.Skip()
		}
	}
}

// Text returns the text inside the current element, which holds no other element, without
// the white space around it. It is valid until the reader moves on.
func (x *Reader) Text() []byte {
	x.kept, x.keep = x.kept[:0], true
	if x.Child() {
		x.fail("<%s> where only text may stand", Clip(x.Local))
	}
	x.keep = false
	if x.err != nil {
		return nil
	}
	if bytes.IndexByte(x.kept, '&') >= 0 {
		return x.unescape(bytes.TrimSpace(x.kept))
	}
	return bytes.TrimSpace(x.kept)
}

// Finish reads to the end of the file, behind its root. Archives show only there whether
// all they held was sound.
func (x *Reader) Finish() {
	if x.token() == startTag {
		x.fail("a second element behind the end of the first")
	}
}

// Is tells whether the current element has this name in this namespace.
func (x *Reader) Is(space, local string) bool {
	return string(x.Local) == local && x.Space(x.Prefix) == space
}

// Space returns the namespace of a prefix, "" where there is none.
func (x *Reader) Space(prefix []byte) string {
	for i := len(x.bindings) - 1; i >= 0; i-- {
		if b := &x.bindings[i]; b.prefix == string(prefix) {
			return b.space
		}
	}
	return ""
}

// Attr returns the value of an attribute without prefix, nil where there is none.
func (x *Reader) Attr(name string) []byte {
	for i := range x.Attrs {
		if string(x.Attrs[i].Name) == name {
			return x.Attrs[i].Value
		}
	}
	return nil
}

// AttrIn returns the value of an attribute in a namespace, nil where there is none.
func (x *Reader) AttrIn(space, name string) []byte {
	for i := range x.Attrs {
		prefix, local, ok := bytes.Cut(x.Attrs[i].Name, []byte{':'})
		if ok && string(local) == name && x.Space(prefix) == space {
			return x.Attrs[i].Value
		}
	}
	return nil
}
