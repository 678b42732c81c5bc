package lint

import (
	"cmp"
	"context"
	"path"
	"slices"
	"strings"
	"sync"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
)

// shelf is what rules over folders ask about more than one file. Each is looked up once, when
// a rule asks for it.
type shelf struct {
	ctx     context.Context
	engine  *engine
	folders []collection.Folder
	past    *collection.Past         // nil where the run compares nothing
	known   map[string]string        // checksums of files that the run has read, by path
	files   func() []collection.File // of the whole collection, by the path that rules name them by
	copies  func() map[string]string // by file: the one whose content it has
	same    func() sameShapes
	last    func() (map[string]int, error)    // by file: the number of the commit that changed it last
	spreads map[string]func() (spread, error) // by file: its shape, up to a mirror
}

func newShelf(ctx context.Context, g *engine, folders []collection.Folder, all []collection.File, entries []entry, opt *Options) *shelf {
	s := &shelf{ctx: ctx, engine: g, folders: folders, known: map[string]string{}, spreads: map[string]func() (spread, error){}}
	origins := collection.OriginsOf(all)
	for i := range entries {
		if e := &entries[i]; e.SHA256 != "" {
			file, _ := origins.Of(e.Path)
			s.known[file] = e.SHA256
		}
	}
	if opt.Before != nil {
		s.past = &collection.Past{Commit: opt.Before.Commit}
	}
	s.files = sync.OnceValue(func() []collection.File { return collected(all, opt.Around.Rest) })
	s.copies = sync.OnceValue(s.findCopies)
	s.same = sync.OnceValue(s.findSame)
	s.last = sync.OnceValues(func() (map[string]int, error) { return collection.LastChanged(folders, s.hasSource) })
	return s
}

// collected lists the files of the run and the rest of the collection, each once, sorted by
// the path that rules name them by. What is left out or only another name of one is not among them.
func collected(all []collection.File, rest func() ([]collection.File, error)) []collection.File {
	list := slices.Clone(all)
	if rest != nil {
		if more, err := rest(); err == nil {
			list = append(list, more...)
		}
	}
	list = slices.DeleteFunc(list, func(f collection.File) bool { return f.Skip != "" || f.Linked() })
	slices.SortStableFunc(list, func(a, b collection.File) int { return cmp.Compare(a.Rules, b.Rules) })
	return slices.CompactFunc(list, func(a, b collection.File) bool { return a.Rules == b.Rules })
}

// folder is what rules may ask of a folder. What could not be found out is noted on the entry.
func (s *shelf) folder(d *collection.Folder, m *finding.Model) *catalog.Folder {
	models := sync.OnceValue(func() []string { return d.Models(s.engine.config.Include, s.engine.config.Exclude) })
	lists := map[string]func() []string{
		catalog.FolderModels: models,
		catalog.FolderOthers: func() []string {
			return slices.DeleteFunc(slices.Clone(d.Names), func(name string) bool { return slices.Contains(models(), name) })
		},
		catalog.FolderCopies: sync.OnceValue(func() []string { return s.copiesIn(d, models()) }),
		catalog.FolderSame:   sync.OnceValue(func() []string { return s.sameIn(d, models(), m) }),
		catalog.FolderClash:  func() []string { return clashing(d.Names) },
		catalog.FolderUneven: sync.OnceValue(func() []string { return s.unevenIn(d, models(), m) }),
	}
	return &catalog.Folder{
		Path: d.Rules, Name: path.Base(d.Rules), Names: d.Names,
		List:  func(value string) []string { return lists[value]() },
		Later: func(source func(string) bool) []string { return s.laterIn(d, models(), source, m) },
	}
}

// clashing lists the names that differ from another only in capitals.
func clashing(names []string) (list []string) {
	count := map[string]int{}
	for _, name := range names {
		count[strings.ToLower(name)]++
	}
	for _, name := range names {
		if count[strings.ToLower(name)] > 1 {
			list = append(list, name)
		}
	}
	return list
}

// copiesIn lists the models of a folder that are copies, each with what it is one of.
func (s *shelf) copiesIn(d *collection.Folder, models []string) (list []string) {
	copies := s.copies()
	for _, name := range models {
		if of, ok := copies[d.File(name)]; ok {
			if collection.FolderOf(of) == d.Rules {
				of = path.Base(of)
			}
			list = append(list, name+" (equal to "+of+")")
		}
	}
	return list
}

// findCopies finds the files in the folders whose content another file before them has.
// Only files of one size are read.
func (s *shelf) findCopies() map[string]string {
	asked := map[string]bool{}
	for i := range s.folders {
		asked[s.folders[i].Rules] = true
	}
	bySize := map[int64][]*collection.File{}
	files := s.files()
	for i := range files {
		bySize[files[i].Size] = append(bySize[files[i].Size], &files[i])
	}
	copies := map[string]string{}
	for size, list := range bySize {
		if size == 0 || len(list) < 2 || !slices.ContainsFunc(list[1:], func(f *collection.File) bool { return asked[collection.FolderOf(f.Rules)] }) {
			continue
		}
		first := map[string]string{}
		for _, f := range list {
			sum := s.sum(f)
			if of, ok := first[sum]; ok {
				copies[f.Rules] = of
			} else if sum != "" {
				first[sum] = f.Rules
			}
		}
	}
	return copies
}

// sum is the checksum of a file; "" where it cannot be read, of which the model tells.
func (s *shelf) sum(f *collection.File) string {
	if sum, ok := s.known[f.Path]; ok || s.ctx.Err() != nil {
		return sum
	}
	sum, err := hashOf(s.ctx, f)
	if err != nil {
		return ""
	}
	return sum
}

// stem is the name of a file without its ending.
func stem(name string) string { return strings.TrimSuffix(name, path.Ext(name)) }

// hasSource says that a file and another in its folder differ only in the ending, so that
// one may be the source of the other.
func (s *shelf) hasSource(d *collection.Folder, name string) bool {
	return slices.ContainsFunc(d.Names, func(other string) bool { return other != name && stem(other) == stem(name) })
}

// laterIn lists the models of a folder with a source that was changed in a later commit.
func (s *shelf) laterIn(d *collection.Folder, models []string, source func(string) bool, m *finding.Model) (list []string) {
	last, err := s.last()
	if err != nil {
		if note := "nothing is known of what was changed later: " + err.Error(); !slices.Contains(m.Notes, note) {
			m.Notes = append(m.Notes, note)
		}
		return nil
	}
	for _, name := range models {
		own, known := last[d.File(name)]
		for _, other := range d.Names {
			if n, ok := last[d.File(other)]; known && ok && n < own && other != name && stem(other) == stem(name) && source(other) {
				list = append(list, name+" (after it "+other+")")
				break
			}
		}
	}
	return list
}
