package meshfile

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
)

// lfsVersions are what the first line of a git LFS pointer can say (git-lfs
// specification, "The Pointer": the second address is the one it had before its first
// release).
var lfsVersions = []string{
	"https://git-lfs.github.com/spec/",
	"https://hawser.github.com/spec/",
}

// PointerLimit is the size in bytes that every pointer stays below (the same page:
// "less than 1024 bytes").
const PointerLimit = 1024

// Pointer recognises what git LFS leaves where content was not fetched, and returns the
// SHA-256 of that content in hex, and its size in bytes. ok is true only for a whole
// pointer: three lines, each ended by LF, and not one byte beside them. A file that only
// begins like one could hide anything behind its first line.
func Pointer(content []byte) (oid string, size int64, ok bool) {
	if len(content) >= PointerLimit {
		return "", 0, false
	}
	lines := strings.Split(string(content), "\n")
	if len(lines) != 4 || lines[3] != "" {
		return "", 0, false
	}
	version := slices.ContainsFunc(lfsVersions, func(v string) bool { return lines[0] == "version "+v+"v1" })
	oid, hash := strings.CutPrefix(lines[1], "oid sha256:")
	digits, sized := strings.CutPrefix(lines[2], "size ")
	size, err := strconv.ParseInt(digits, 10, 64)
	if !version || !hash || !sized || err != nil || !isHex(oid) || strconv.FormatInt(size, 10) != digits || size < 0 {
		return "", 0, false
	}
	return oid, size, true
}

// isHex tells whether s is a SHA-256 as a pointer writes it, in small letters.
func isHex(s string) bool {
	for i := range len(s) {
		if c := s[i]; c-'0' > 9 && c-'a' > 5 {
			return false
		}
	}
	return len(s) == 64
}

// likePointer tells whether a file begins as a pointer does.
func likePointer(head []byte) bool {
	for _, v := range lfsVersions {
		if bytes.HasPrefix(head, []byte("version "+v)) {
			return true
		}
	}
	return false
}

// refusePointer words a file that is a pointer, or begins like one.
func refusePointer(head []byte, size int64) error {
	if !likePointer(head) {
		return nil
	}
	if _, _, whole := Pointer(head); !whole || size != int64(len(head)) {
		return atLine(1, "check the file out again, or replace it by the model",
			"this begins like a git LFS pointer and is not a whole one")
	}
	return &Error{Line: 1, LFS: true, Cure: "run git lfs pull",
		Problem: "this is a git LFS pointer, the model itself was not fetched"}
}
