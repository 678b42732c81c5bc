package collection

import (
	"encoding/binary"
	"path"
	"strings"

	"printlint/internal/meshfile"
)

// asideHead is how much of a file is looked at to tell what it is.
const asideHead = 1024

// aside leaves out a file that one system keeps beside another, ._clip.stl beside
// clip.stl, with what only that system knows about it (RFC 1740, appendices A and B, from
// memory). The name alone proves nothing: what could be a model as well is judged.
func aside(f File) File {
	if !strings.HasPrefix(path.Base(f.Path), "._") {
		return f
	}
	content, err := f.Open()
	if err != nil {
		return f
	}
	defer content.Close()
	head := make([]byte, min(asideHead, content.Size()))
	if n, _ := content.ReadAt(head, 0); n < len(head) {
		return f
	}
	if isAside(head, content.Size()) && !meshfile.Recognized(head, content.Size()) {
		f.Skip = "a file beside a model with what one system knows about it, no model"
	}
	return f
}

// isAside reads the header: two magic numbers, filling, and a list of entries that must
// lie in the file.
func isAside(head []byte, size int64) bool {
	const fixed, entry = 26, 12
	if len(head) < fixed || binary.BigEndian.Uint32(head) != 0x00051607 {
		return false
	}
	count := int(binary.BigEndian.Uint16(head[24:]))
	if count == 0 || len(head) < fixed+count*entry {
		return false
	}
	for i := range count {
		at := head[fixed+i*entry:]
		offset, length := binary.BigEndian.Uint32(at[4:]), binary.BigEndian.Uint32(at[8:])
		if int64(offset)+int64(length) > size {
			return false
		}
	}
	return true
}
