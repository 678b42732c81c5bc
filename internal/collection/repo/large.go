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
	found, i := map[string]pointer{}, 0
	err = s.texts(small, func(text []byte, _ bool) {
		if p, ok := pointerOf(text); ok {
			found[small[i]] = p
		}
		i++
	})
	return found, err
}

// texts reads blobs, one after the other as they are listed; those that are not here are nil.
// A text is good until the visit ends.
func (s *session) texts(hashes []string, visit func(text []byte, there bool)) error {
	out, err := s.run(lines(hashes), "cat-file", "--batch")
	if err != nil {
		return err
	}
	for _, h := range hashes { // "HASH blob SIZE", the text, a line break; or "HASH missing"
		line, rest, _ := bytes.Cut(out, []byte("\n"))
		if string(line) == h+" missing" {
			visit(nil, false)
			out = rest
			continue
		}
		size, err := strconv.Atoi(strings.TrimPrefix(string(line), h+" blob "))
		if err != nil || size < 0 || len(rest) <= size {
			return fmt.Errorf("git: did not understand %q", line)
		}
		visit(rest[:size], true)
		out = rest[size+1:]
	}
	return nil
}
