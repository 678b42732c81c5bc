package repo

import (
	"bytes"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
)

// Hashes are those under which a commit may hold content that lies in the work tree: as it
// is, with the line ends of the repository, or as the pointer that stands for a large file.
// One hash of the repository says of which format they are.
func Hashes(content []byte, one string) (list []string) {
	make := sha1.New
	if len(one) == hex.EncodedLen(sha256.Size) {
		make = sha256.New
	}
	list = append(list, blobHash(make(), content))
	if !bytes.Contains(content[:min(len(content), textHead)], []byte{0}) && bytes.Contains(content, []byte("\r\n")) {
		list = append(list, blobHash(make(), bytes.ReplaceAll(content, []byte("\r\n"), []byte("\n"))))
	}
	large := fmt.Sprintf("version https://git-lfs.github.com/spec/v1\noid sha256:%x\nsize %d\n", sha256.Sum256(content), len(content))
	return append(list, blobHash(make(), []byte(large)))
}

// textHead is how far git looks for a NUL, by which it tells content that is no text.
const textHead = 8000

// blobHash is the name under which git keeps content.
func blobHash(h hash.Hash, content []byte) string {
	fmt.Fprintf(h, "blob %d\x00", len(content))
	h.Write(content)
	return hex.EncodeToString(h.Sum(nil))
}
