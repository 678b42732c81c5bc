package meshfile

// Recognized reports whether a file could be read as a model of any format, by its
// beginning, of which it needs a kilobyte, and its size.
func Recognized(head []byte, size int64) bool {
	for i := range formats {
		if formats[i].matches(head, size) {
			return true
		}
	}
	return false
}
