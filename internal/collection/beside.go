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
}

// Beside lists the names of the other files in the folder of a file, on disk or in its pack,
// sorted. A file that came from neither has none beside it, and one that is staged those that
// are in the index.
func (s *Folders) Beside(f *File) []string {
	names, own := s.all(f), path.Base(f.Path[strings.LastIndex(f.Path, Inside)+1:])
	if f.folder == nil && f.native != "" {
		own = filepath.Base(f.native)
	}
	return slices.DeleteFunc(slices.Clone(names), func(name string) bool { return name == own })
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
