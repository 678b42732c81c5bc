package collection

import (
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"printlint/internal/collection/repo"
	"printlint/internal/pathname"
)

// Past knows what folders and files were in a commit. It lists each repository once.
type Past struct {
	Commit           string
	Include, Exclude []string // of the configuration

	trees map[string]*formerTree // by the top of the repository
}

// formerTree is what a commit of one repository held, by paths from the top on.
type formerTree struct {
	own     *repo.Repo
	base    string // the folder of the configuration
	entries map[string]repo.IndexEntry
	folders map[string][]string // the names in each folder
	gone    map[string][]string // by hash: files that are not there any more and that none took up
	endings map[string]bool     // of those, in small letters
	one     string              // any hash
	hashes  map[string][]string // of files on disk
	taken   map[string]string   // by a new path: the one it had
}

// PastFile is a model as it was, with the hash of its content.
type PastFile struct {
	File
	Hash string
}

// EmptyHash says that a hash is that of content with nothing in it.
func EmptyHash(hash string) bool { return slices.Contains(repo.Hashes(nil, hash), hash) }

// of is the tree that a folder lies in; nil where nothing is known of it.
func (p *Past) of(d *Folder) *formerTree {
	own := d.repository()
	if own == nil {
		return nil
	}
	t, known := p.trees[own.Top]
	if !known {
		if p.trees == nil {
			p.trees = map[string]*formerTree{}
		}
		t = plant(own, p.Commit, d)
		p.trees[own.Top] = t
	}
	return t
}

// plant lists a commit; nil where it cannot, as in a submodule, which has no such commit.
func plant(own *repo.Repo, commit string, d *Folder) *formerTree {
	list, err := own.Listed(commit)
	below, _ := own.Below(d.real)
	base, ok := strings.CutSuffix("/"+below, "/"+d.Rules)
	if d.Rules == "." || below == "." {
		base, ok = below, d.Rules == "."
	}
	if err != nil || !ok {
		return nil
	}
	t := &formerTree{own: own, base: strings.TrimPrefix(base, "/"), entries: map[string]repo.IndexEntry{}, folders: map[string][]string{}, taken: map[string]string{}, hashes: map[string][]string{}}
	for _, e := range list {
		if e.Kind != repo.Module {
			name := pathname.Shown(e.Path)
			t.entries[name], t.one = e, e.Hash
			t.folders[path.Dir(name)] = append(t.folders[path.Dir(name)], path.Base(name))
		}
	}
	return t
}

// ruled is a path from the top as rules name it; "" where it lies outside of their folder.
func (t *formerTree) ruled(below string) string {
	if t.base == "" || t.base == "." || below == t.base {
		return path.Clean(strings.TrimPrefix(below, t.base+"/"))
	}
	rest, _ := strings.CutPrefix(below, t.base+"/")
	return rest
}

// below is a path that rules name, from the top on.
func (t *formerTree) below(rules string) string { return path.Join(t.base, rules) }

// At is a folder as it was, by the path that rules name it by; nil where there was none. Any
// folder of the same repository leads there.
func (p *Past) At(beside *Folder, rules string) *Folder {
	t := p.of(beside)
	if t == nil || t.folders[t.below(rules)] == nil {
		return nil
	}
	names := slices.Clone(t.folders[t.below(rules)])
	slices.Sort(names)
	return &Folder{Path: rules, Rules: rules, Names: names, real: filepath.Join(t.own.Top, filepath.FromSlash(t.below(rules)))}
}

// Files lists the models that lay in the repositories of folders, sorted by the path that
// rules name them by. Packs are left out.
func (p *Past) Files(folders []Folder) (list []PastFile) {
	all := globs{p.Include, p.Exclude}
	done := map[*formerTree]bool{nil: true}
	for i := range folders {
		t := p.of(&folders[i])
		if done[t] {
			continue
		}
		done[t] = true
		for name, e := range t.entries {
			rules := t.ruled(name)
			if e.Kind == repo.Plain && rules != "" && all.included(rules) && !all.excluded(rules) && !isPack(rules) {
				list = append(list, PastFile{New(rules, rules, 0, staged(t.own.Blob, e)), e.Hash})
			}
		}
	}
	slices.SortFunc(list, func(a, b PastFile) int { return strings.Compare(a.Rules, b.Rules) })
	return list
}

// knownBy is up to which size a file is read to know it again under another name. Judgement.
const knownBy = 64 << 20

// Origin is the path that a file of a folder had, as rules name it: its own, or that of one
// of the same content that lies nowhere any more, which may be asked to have its name. It is ""
// where there was none.
func (p *Past) Origin(d *Folder, name string, named bool) string {
	t := p.of(d)
	if t == nil {
		return ""
	}
	below := t.below(d.File(name))
	if _, there := t.entries[below]; there {
		return t.ruled(below)
	}
	if was, known := t.taken[below]; known || !t.lost(path.Ext(name)) {
		return was
	}
	for _, h := range p.Hashes(d, name) {
		k := slices.IndexFunc(t.gone[h], func(was string) bool { return path.Base(was) == name })
		if k >= 0 || !named && len(t.gone[h]) > 0 {
			return t.take(below, h, max(0, k))
		}
	}
	if !named {
		t.taken[below] = ""
	}
	return ""
}

// take says that a file is one of those that lie nowhere any more.
func (t *formerTree) take(below, hash string, k int) string {
	t.taken[below] = t.ruled(t.gone[hash][k])
	t.gone[hash] = slices.Delete(t.gone[hash], k, k+1)
	return t.taken[below]
}

// Follow takes a file of a folder for the one of its name in the folder that it was, where
// that lies nowhere any more and nothing else became it: it was moved with all the others,
// and changed besides.
func (p *Past) Follow(d, was *Folder, name string) string {
	t := p.of(d)
	if t == nil || was.packed || !slices.Contains(was.Names, name) {
		return ""
	}
	from := t.below(was.File(name))
	e := t.entries[from]
	if k := slices.Index(t.gone[e.Hash], from); k >= 0 {
		return t.take(t.below(d.File(name)), e.Hash, k)
	}
	return ""
}

// lost says that a file with such an ending lies nowhere any more. All of these are found once.
func (t *formerTree) lost(ext string) bool {
	if t.gone == nil {
		t.gone, t.endings = map[string][]string{}, map[string]bool{}
		for name, e := range t.entries {
			if _, err := os.Lstat(filepath.Join(t.own.Top, filepath.FromSlash(e.Path))); err != nil && e.Kind == repo.Plain {
				t.gone[e.Hash] = append(t.gone[e.Hash], name)
				t.endings[strings.ToLower(path.Ext(name))] = true
			}
		}
		for _, names := range t.gone {
			slices.Sort(names)
		}
	}
	return t.endings[strings.ToLower(ext)]
}

// Hashes are those that a commit may have the content of a file by; none where it cannot be
// read, or is too large to be read for that.
func (p *Past) Hashes(d *Folder, name string) []string {
	t := p.of(d)
	if t == nil {
		return nil
	}
	native := filepath.Join(d.real, name)
	list, known := t.hashes[native]
	if !known {
		list = t.hashesOf(native)
		t.hashes[native] = list
	}
	return list
}

// hashesOf reads a file.
func (t *formerTree) hashesOf(native string) []string {
	f, err := os.Open(native)
	if err != nil {
		return nil
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() || info.Size() > knownBy {
		return nil
	}
	content, err := io.ReadAll(io.LimitReader(f, knownBy+1))
	if err != nil {
		return nil
	}
	return repo.Hashes(content, t.one)
}

// indexed lists the names in each folder of the index.
func indexed(own *repo.Repo) map[string][]string {
	folders := map[string][]string{}
	list, err := own.Indexed()
	for _, name := range list {
		if dir := path.Dir(name); err == nil {
			folders[dir] = append(folders[dir], path.Base(name))
		}
	}
	return folders
}
