package repo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"printlint/internal/meshfile"
)

// pointer is what a repository keeps in place of a large file (git-lfs specification,
// "The Pointer").
type pointer struct {
	digest string // SHA-256 of the content, in hexadecimal
	size   int64
}

// pointerOf reads a pointer, whole and plain.
func pointerOf(text []byte) (p pointer, ok bool) {
	digest, size, ok := meshfile.Pointer(text)
	return pointer{digest, size}, ok
}

// matches reports whether a file holds what the pointer stands for.
func (p pointer) matches(path string) bool {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() || info.Size() != p.size {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	h := sha256.New()
	n, err := io.Copy(h, io.LimitReader(f, p.size+1))
	return err == nil && n == p.size && hex.EncodeToString(h.Sum(nil)) == p.digest
}

// content finds what a pointer stands for: in the repository's store of large files, or
// in the work tree under the path given. It is empty where neither has it.
func (s *session) content(p pointer, path string) string {
	store := filepath.Join(s.folders.common, "lfs")
	if s.settings.store != "" {
		store = from(s.folders.common, s.settings.store)
	}
	stored := filepath.Join(store, "objects", p.digest[:2], p.digest[2:4], p.digest)
	for _, file := range []string{stored, s.onDisk(path)} {
		if p.matches(file) {
			return file
		}
	}
	return ""
}

// weigh asks for the sizes of blobs; those that are not here have none.
func (s *session) weigh(hashes []string) (map[string]int64, error) {
	if len(hashes) == 0 {
		return nil, nil
	}
	out, err := s.run(lines(hashes), "cat-file", "--batch-check=%(objectname) %(objectsize)")
	if err != nil {
		return nil, err
	}
	sizes := map[string]int64{}
	for _, line := range strings.Split(string(out), "\n") {
		if hash, size, ok := strings.Cut(line, " "); ok {
			if n, err := strconv.ParseInt(size, 10, 64); err == nil {
				sizes[hash] = n
			}
		}
	}
	return sizes, nil
}

// pointers finds those blobs that stand for large files.
func (s *session) pointers(hashes []string) (map[string]pointer, error) {
	sizes, err := s.weigh(hashes)
	if err != nil {
		return nil, err
	}
	var small []string
	for _, h := range hashes {
		if size, ok := sizes[h]; ok && size < meshfile.PointerLimit {
			small = append(small, h)
		}
	}
	if len(small) == 0 {
		return nil, nil
	}
	out, err := s.run(lines(small), "cat-file", "--batch")
	if err != nil {
		return nil, err
	}
	found := map[string]pointer{}
	for _, h := range small { // "HASH blob SIZE", the text, a line break
		line, rest, _ := bytes.Cut(out, []byte("\n"))
		if size := int(sizes[h]); bytes.HasPrefix(line, []byte(h+" blob ")) && len(rest) > size {
			if p, ok := pointerOf(rest[:size]); ok {
				found[h] = p
			}
			out = rest[size+1:]
			continue
		}
		return nil, fmt.Errorf("git: did not understand %q", line)
	}
	return found, nil
}
