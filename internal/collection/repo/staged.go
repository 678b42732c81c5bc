package repo

import (
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"strings"
)

// Entry is one file of the index.
type Entry struct {
	Path string // from the top on, with slashes
	Hash string // of the content, for Blob
	Size int64  // in bytes, as git keeps it
	Link bool   // a symbolic link: its content is where it leads
}

// Staged lists the files that the next commit adds or changes.
func (r *Repo) Staged() ([]Entry, error) {
	from, err := r.line("rev-parse", "--verify", "--quiet", "HEAD^{commit}")
	var failed *failure
	if errors.As(err, &failed) && failed.code == 1 { // no commit yet
		from, err = r.line("hash-object", "-t", "tree", "--stdin")
	}
	if err != nil {
		return nil, err
	}
	fields, err := r.list(nil, "diff-index", "--cached", "--raw", "-z", "--no-abbrev", "--no-renames", "--no-ext-diff",
		"--ignore-submodules=all", "--diff-filter=d", from, "--")
	if err != nil {
		return nil, err
	}
	var list []Entry
	for i := 0; i+1 < len(fields); i += 2 {
		// ":MODE MODE HASH HASH STATUS", then the path.
		meta := strings.Fields(fields[i])
		if len(meta) != 5 {
			return nil, fmt.Errorf("git: did not understand %q", fields[i])
		}
		e := Entry{Path: fields[i+1], Hash: meta[3], Link: meta[1] == "120000"}
		if meta[4] == "U" {
			return nil, fmt.Errorf("%s is not merged; settle it and stage it first", e.Path)
		}
		if meta[1] == "160000" { // a submodule
			continue
		}
		list = append(list, e)
	}
	return list, r.weigh(list)
}

// weigh fills in the sizes.
func (r *Repo) weigh(list []Entry) error {
	if len(list) == 0 {
		return nil
	}
	var ask strings.Builder
	for i := range list {
		ask.WriteString(list[i].Hash + "\n")
	}
	out, err := r.run(strings.NewReader(ask.String()), "cat-file", "--batch-check=%(objectsize)")
	if err != nil {
		return err
	}
	sizes := strings.Fields(string(out))
	if len(sizes) != len(list) {
		return errors.New("git: staged content is missing from the repository")
	}
	for i := range list {
		if list[i].Size, err = strconv.ParseInt(sizes[i], 10, 64); err != nil {
			return fmt.Errorf("git: did not understand the size %q", sizes[i])
		}
	}
	return nil
}

// Blob returns the content of an entry as a checkout would write it: filters for
// large files and line ends are applied.
func (r *Repo) Blob(e Entry) ([]byte, error) {
	return r.run(nil, "cat-file", "--filters", "--path="+e.Path, e.Hash)
}

// StagedText returns what a file holds in the index, by its path from the top on; a
// file that is not there is fs.ErrNotExist.
func (r *Repo) StagedText(path string) ([]byte, error) {
	found, err := r.list(nil, "ls-files", "-z", "--stage", "--", ":(top,literal)"+path)
	if err != nil {
		return nil, err
	}
	for _, line := range found {
		// "MODE HASH STAGE", a tab, the path.
		meta, name, _ := strings.Cut(line, "\t")
		words := strings.Fields(meta)
		if name != path || len(words) != 3 {
			continue // what lies in a folder of that name
		}
		if words[0] == "120000" {
			return nil, errors.New("is a symbolic link in the index")
		}
		return r.run(nil, "cat-file", "blob", words[1])
	}
	return nil, fs.ErrNotExist
}
