package collection

import "bytes"

// pointerStart begins every Git LFS pointer file (Git LFS specification, "The
// pointer file": the version line comes first).
const pointerStart = "version https://git-lfs.github.com/spec/"

// pointerMax is the size below which the specification keeps pointer files.
const pointerMax = 1024

// IsPointer reports whether the content is a Git LFS pointer, that is, whether the
// model itself was never fetched.
func IsPointer(c Content) bool {
	if c.Size() >= pointerMax {
		return false
	}
	start := make([]byte, len(pointerStart))
	n, _ := c.ReadAt(start, 0)
	return bytes.Equal(start[:n], []byte(pointerStart))
}
