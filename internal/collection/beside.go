package collection

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Folders remembers what stands in folders for the time of a run. It is safe for concurrent
// use, and its zero value is ready.
type Folders struct {
	mutex sync.Mutex
	disk  map[string][]string
	asked map[question][]string
}

// question is what is asked of the names in a folder, in words.
type question struct{ folder, words string }

// Beside says whether the name of another file in the folder of a file passes a test, on disk
// or in its pack. A file that came from neither has none beside it, and one that is staged
// those that are in the index. Each folder is looked through once for the same words.
func (s *Folders) Beside(f *File, words string, test func(string) bool) bool {
	own := path.Base(f.Path[strings.LastIndex(f.Path, Inside)+1:])
	if f.folder == nil && f.native != "" {
		own = filepath.Base(f.native)
	}
	return slices.ContainsFunc(s.passing(f, words, test), func(name string) bool { return name != own })
}

// passing lists up to two names in the folder of a file that pass: one of them is another's.
func (s *Folders) passing(f *File, words string, test func(string) bool) []string {
	q := question{f.In(), words}
	s.mutex.Lock()
	list, known := s.asked[q]
	s.mutex.Unlock()
	if known {
		return list
	}
	for _, name := range s.all(f) {
		if len(list) < 2 && test(name) {
			list = append(list, name)
		}
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.asked == nil {
		s.asked = map[question][]string{}
	}
	s.asked[q] = list
	return list
}

// all lists the names of the files in the folder of a file, its own among them; nil where
// it has no folder.
func (s *Folders) all(f *File) []string {
	if f.folder != nil {
		if names := f.folder(); names != nil {
			return names
		}
	}
	if f.native == "" {
		return nil
	}
	return s.names(filepath.Dir(f.native))
}

// names reads a folder, once. What cannot be read has nothing in it.
func (s *Folders) names(folder string) []string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if names, ok := s.disk[folder]; ok {
		return names
	}
	entries, err := os.ReadDir(folder)
	var names []string
	for _, e := range entries {
		if err == nil && !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	if s.disk == nil {
		s.disk = map[string][]string{}
	}
	s.disk[folder] = names
	return names
}
