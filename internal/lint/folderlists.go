package lint

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"

	"golang.org/x/text/unicode/norm"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/work"
)

// shelf is what rules over folders ask about more than one file. Each is looked up once, when
// a rule asks for it.
type shelf struct {
	ctx     context.Context
	engine  *engine
	folders []collection.Folder
	known   map[string]string        // checksums of files that the run has read, by path
	files   func() []collection.File // of the whole collection, by the path that rules name them by
	copies  func() map[string]string // by file: the one whose content it has
	huge    map[string]bool          // files that take more work to compare than the limit allows
	same    func() sameShapes
	last    func() (map[string]int, error)    // by file: the number of the commit that changed it last
	spreads map[string]func() (spread, error) // by file: its shape, up to a mirror
	stems   map[string]map[string][]string    // by folder: its names without their endings
	names   map[said][]string                 // which files of a folder a list speaks of, where it gives more than their names
}

// said is one text of a list on a folder.
type said struct{ folder, text string }

// about lists the names of the files that a text of a list speaks of.
func (s *shelf) about(d *collection.Folder, text string) []string {
	if names, ok := s.names[said{d.Rules, text}]; ok {
		return names
	}
	return []string{text}
}

// say is a text of a list that speaks of files of the folder.
func (s *shelf) say(d *collection.Folder, text string, names ...string) string {
	s.names[said{d.Rules, text}] = names
	return text
}

func newShelf(ctx context.Context, g *engine, folders []collection.Folder, all []collection.File, entries []entry, opt *Options) *shelf {
	s := &shelf{ctx: ctx, engine: g, folders: folders, known: map[string]string{}, huge: map[string]bool{}, spreads: map[string]func() (spread, error){}, names: map[said][]string{}, stems: map[string]map[string][]string{}}
	origins := collection.OriginsOf(all)
	for i := range entries {
		if e := &entries[i]; e.SHA256 != "" {
			file, _ := origins.Of(e.Path)
			s.known[file] = e.SHA256
		}
	}
	s.files = sync.OnceValue(func() []collection.File { return collected(all, opt.Around.Rest) })
	s.copies = sync.OnceValue(s.findCopies)
	s.same = sync.OnceValue(s.findSame)
	s.last = sync.OnceValues(func() (map[string]int, error) { return collection.LastChanged("", folders, s.hasSource) })
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
			is := map[string]bool{}
			for _, name := range models() {
				is[name] = true
			}
			return slices.DeleteFunc(slices.Clone(d.Names), func(name string) bool { return is[name] })
		},
		catalog.FolderCopies: sync.OnceValue(func() []string { return s.copiesIn(d, models(), m) }),
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

// clashing lists the names that differ from another only in capitals, or in how their accents
// are stored: some systems keep only one of these.
func clashing(names []string) (list []string) {
	count := map[string]int{}
	for _, name := range names {
		count[folded(name)]++
	}
	for _, name := range names {
		if count[folded(name)] > 1 {
			list = append(list, name)
		}
	}
	return list
}

// folded is a name in small letters, each accent in one sign with its letter.
func folded(name string) string { return strings.ToLower(norm.NFC.String(name)) }

// copiesIn lists the models of a folder that are copies, each with what it is one of. What
// could not be compared is noted on the folder.
func (s *shelf) copiesIn(d *collection.Folder, models []string, m *finding.Model) (list []string) {
	copies := s.copies()
	for _, name := range models {
		if of, ok := copies[d.File(name)]; ok {
			if collection.FolderOf(of) == d.Rules {
				of = path.Base(of)
			}
			list = append(list, s.say(d, name+" (equal to "+of+")", name))
		}
		if s.huge[d.File(name)] {
			note(m, fmt.Sprintf("%s was not compared with files of its size: that takes more than the limit of %v of work", name, s.engine.limit))
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
	sum, err := hashOf(work.Start(s.ctx, s.engine.limit), f)
	if err != nil {
		s.huge[f.Rules] = errors.Is(err, work.ErrLimit)
		return ""
	}
	return sum
}

// stem is the name of a file without its ending.
func stem(name string) string { return strings.TrimSuffix(name, path.Ext(name)) }

// stemsOf sorts the names in a folder by what they are without their ending.
func (s *shelf) stemsOf(d *collection.Folder) map[string][]string {
	by, known := s.stems[d.Rules]
	if !known {
		by = map[string][]string{}
		for _, name := range d.Names {
			by[stem(name)] = append(by[stem(name)], name)
		}
		s.stems[d.Rules] = by
	}
	return by
}

// hasSource says that a file and another in its folder differ only in the ending, so that
// one may be the source of the other.
func (s *shelf) hasSource(d *collection.Folder, name string) bool {
	return len(s.stemsOf(d)[stem(name)]) > 1
}

// laterIn lists the models of a folder with a source that was changed in a later commit.
func (s *shelf) laterIn(d *collection.Folder, models []string, source func(string) bool, m *finding.Model) (list []string) {
	last, err := s.last()
	if err != nil {
		note(m, "nothing is known of what was changed later: "+err.Error())
		return nil
	}
	together := false
	for _, name := range models {
		own, known := last[d.File(name)]
		for _, other := range s.stemsOf(d)[stem(name)] {
			n, ok := last[d.File(other)]
			if !known || !ok || other == name || !source(other) {
				continue
			}
			if n < own {
				list = append(list, s.say(d, name+" (after it "+other+")", name))
				break
			}
			together = together || n == own
		}
	}
	if together && d.Shallow() {
		note(m, "not all is known of what was changed later: this clone lacks the older commits; git fetch --unshallow brings them")
	}
	return list
}

// note adds a note to an entry, once.
func note(m *finding.Model, text string) {
	if !slices.Contains(m.Notes, text) {
		m.Notes = append(m.Notes, text)
	}
}
