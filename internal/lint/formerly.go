package lint

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// formerly is what rules find on folders as they were before a change. Findings are known
// again by the rule and the files that they speak of, wherever these lay.
type formerly struct {
	now      *shelf
	shelf    *shelf // as it was
	before   *Before
	judge    *judge
	past     *collection.Past
	packs    []collection.Folder      // those that changed, as they were
	folders  map[string]*formerFolder // by the path that rules name them by
	last     func() (map[string]int, error)
	places   func() map[string]collection.Folder  // where they were, by the path that rules name them by
	wheres   func() map[string]*collection.Folder // by folder of the run: where it was
	copies   func() map[string]string             // by a copy now: the copy that it was
	original func() (map[string]string, map[string]string)
	matched  map[*finding.Finding]bool
}

// formerFolder is a folder as it was, with what was found on it.
type formerFolder struct {
	collection.Folder
	finding.Model
	hits  []folderHit
	spoke map[spokenOf]*finding.Finding
}

// spokenOf are files that a value of a rule spoke of.
type spokenOf struct {
	rule  string
	value ruleset.Named
	files string
}

// keyOf makes one text of paths.
func keyOf(files []string) string { return strings.Join(files, "\x00") }

func newFormerly(s *shelf, opt *Options) *formerly {
	b, c := opt.Before, s.engine.config
	p := &formerly{
		now: s, before: b, judge: &judge{usage: c.NewUsage()}, folders: map[string]*formerFolder{}, matched: map[*finding.Finding]bool{},
		past: &collection.Past{Commit: b.Commit, Include: c.Include, Exclude: c.Exclude},
	}
	p.shelf = &shelf{ctx: s.ctx, engine: s.engine, known: map[string]string{}, spreads: map[string]func() (spread, error){}, names: map[said][]string{}, stems: map[string]map[string][]string{}}
	packed := slices.DeleteFunc(slices.Clone(b.whole()), func(f collection.File) bool { return f.Skip != "" || !strings.Contains(f.Path, collection.Inside) })
	p.packs = s.engine.folders.Folders(packed)
	p.last = sync.OnceValues(func() (map[string]int, error) {
		return collection.LastChanged(b.Commit, slices.Collect(maps.Values(p.places())), p.shelf.hasSource)
	})
	files := sync.OnceValue(func() []collection.PastFile { return p.past.Files(s.folders) })
	p.shelf.files = sync.OnceValue(func() []collection.File {
		list := slices.Clone(packed)
		for _, f := range files() {
			list = append(list, f.File)
		}
		slices.SortFunc(list, func(a, b collection.File) int { return cmp.Compare(a.Rules, b.Rules) })
		return list
	})
	p.original = sync.OnceValues(func() (copies, hashes map[string]string) { return originals(files()) })
	p.shelf.copies = func() map[string]string { copies, _ := p.original(); return copies }
	p.shelf.same = sync.OnceValue(p.shelf.findSame)
	p.copies, p.wheres = sync.OnceValue(p.matchCopies), sync.OnceValue(p.whereAll)
	p.places = sync.OnceValue(func() map[string]collection.Folder {
		list := map[string]collection.Folder{}
		for _, was := range p.wheres() {
			list[was.Rules] = *was
		}
		return list
	})
	return p
}

// originals finds for each file whose content another before it had which that was, and the
// hash of each file.
func originals(files []collection.PastFile) (copies, hashes map[string]string) {
	copies, hashes, first := map[string]string{}, map[string]string{}, map[string]string{}
	for i := range files {
		f := &files[i]
		hashes[f.Rules] = f.Hash
		if of, ok := first[f.Hash]; !ok {
			first[f.Hash] = f.Rules
		} else if !collection.EmptyHash(f.Hash) {
			copies[f.Rules] = of
		}
	}
	return copies, hashes
}

// matchCopies finds for each copy which one it was: that of its own name, or any other of the
// same content, each once. A copy more than there were is new.
func (p *formerly) matchCopies() map[string]string {
	was, hashes := p.original()
	by, list := map[string]string{}, []string{}
	at := map[string]*collection.Folder{}
	for i := range p.now.folders {
		at[p.now.folders[i].Rules] = &p.now.folders[i]
	}
	now := p.now.copies()
	for file := range now {
		if at[collection.FolderOf(file)] != nil {
			list = append(list, file)
		}
	}
	slices.Sort(list)
	taken, of := map[string]bool{}, map[string][]string{} // those of one content
	for file := range was {
		of[hashes[file]] = append(of[hashes[file]], file)
	}
	origin := func(file string) string {
		if d := at[collection.FolderOf(file)]; d != nil {
			return p.origin(d, p.nameOf(d, file))
		}
		return file
	}
	for _, file := range list {
		if o := origin(file); was[o] != "" && was[o] == origin(now[file]) {
			by[file], taken[o] = o, true
		}
	}
	for _, list := range of {
		slices.Sort(list)
	}
	for _, file := range list {
		d := at[collection.FolderOf(file)]
		if by[file] != "" || len(of) == 0 {
			continue
		}
		for _, h := range p.past.Hashes(d, p.nameOf(d, file)) {
			if k := slices.IndexFunc(of[h], func(o string) bool { return !taken[o] }); k >= 0 {
				by[file], taken[of[h][k]] = of[h][k], true
				break
			}
		}
	}
	return by
}

// nameOf is the name of a file in its folder.
func (p *formerly) nameOf(d *collection.Folder, file string) string {
	return strings.TrimPrefix(strings.TrimPrefix(file, d.Rules), "/")
}

// place is a folder as it was, by the path that rules name it by; nil where there was none.
// Any folder of the same repository leads there.
func (p *formerly) place(beside *collection.Folder, rules string) *collection.Folder {
	if k := slices.IndexFunc(p.packs, func(d collection.Folder) bool { return d.Rules == rules }); k >= 0 {
		return &p.packs[k]
	}
	return p.past.At(beside, rules)
}

// placeOf is where a folder was: under its own path, or else where most of its models came
// from that lay elsewhere.
func (p *formerly) placeOf(d *collection.Folder) *collection.Folder { return p.wheres()[d.Rules] }

// whereAll finds where each folder was. Models that kept their name are followed first.
func (p *formerly) whereAll() map[string]*collection.Folder {
	where := map[string]*collection.Folder{}
	votes := make([]map[string]int, len(p.now.folders))
	for _, named := range []bool{true, false} {
		for i := range p.now.folders {
			d := &p.now.folders[i]
			if votes[i] == nil {
				votes[i] = map[string]int{}
			}
			if was := p.place(d, d.Rules); was != nil {
				where[d.Rules] = was
				continue
			}
			for _, name := range d.Models(p.past.Include, p.past.Exclude) {
				if o := p.past.Origin(d, name, named); o != "" {
					votes[i][collection.FolderOf(o)]++
				}
			}
		}
	}
	for i := range p.now.folders {
		if d := &p.now.folders[i]; where[d.Rules] == nil && len(votes[i]) > 0 {
			from := slices.SortedFunc(maps.Keys(votes[i]), func(a, b string) int {
				return cmp.Or(cmp.Compare(votes[i][b], votes[i][a]), cmp.Compare(a, b))
			})
			if was := p.place(d, from[0]); was != nil {
				where[d.Rules] = was
			}
		}
	}
	return where
}

// origin is the path that a file of a folder had, as rules name it; "" where it had none.
func (p *formerly) origin(d *collection.Folder, name string) string {
	if d.Packed() {
		return d.File(name)
	}
	p.wheres()
	if o := p.past.Origin(d, name, false); o != "" {
		return o
	}
	if was := p.placeOf(d); was != nil && was.Rules != d.Rules {
		return p.past.Follow(d, was, name)
	}
	return ""
}

// found is what was found on a folder as it was, by the path that rules name it by.
func (p *formerly) found(was *collection.Folder) *formerFolder {
	if was == nil {
		return nil
	}
	if f, known := p.folders[was.Rules]; known {
		return f
	}
	f := &formerFolder{Folder: *was, Model: folderModel(was), spoke: map[spokenOf]*finding.Finding{}}
	p.folders[was.Rules] = f
	own := *p.shelf
	own.last = p.lastIn(was)
	f.hits = own.judge(p.judge, &f.Folder, &f.Model)
	p.judge.waive(was.Rules, &f.Model)
	for i := range f.hits {
		hit := &f.hits[i]
		for _, value := range hit.rule.More(hit.values) {
			for _, text := range hit.rule.Names(value, hit.folder) {
				files := paths(&f.Folder, own.about(&f.Folder, text))
				f.spoke[spokenOf{hit.rule.ID, value, keyOf(files)}] = &f.Findings[i]
			}
		}
	}
	return f
}

// lastIn is when the files of a folder were changed last: the history is read once for all
// folders of the run, and again for any other.
func (p *formerly) lastIn(was *collection.Folder) func() (map[string]int, error) {
	return sync.OnceValues(func() (map[string]int, error) {
		if _, among := p.places()[was.Rules]; among {
			return p.last()
		}
		return collection.LastChanged(p.past.Commit, []collection.Folder{*was}, p.shelf.hasSource)
	})
}

// was is what was found on a folder of the run.
func (p *formerly) was(d *collection.Folder) *formerFolder { return p.found(p.placeOf(d)) }

// mark says of each finding on a folder whether it was there before.
func (p *formerly) mark(d *collection.Folder, hits []folderHit, m *finding.Model) {
	was := p.was(d)
	if was != nil && was.Folder.Rules != d.Rules && len(m.Findings) > 0 {
		m.Notes = append(m.Notes, fmt.Sprintf("it was %s in %s", was.Folder.Path, p.before.Rev))
	}
	var rest []int // findings that speak of no files
	for i := range m.Findings {
		m.Findings[i].Change = finding.New
		if !p.markNamed(d, &hits[i], &m.Findings[i]) {
			rest = append(rest, i)
		}
	}
	if was == nil || len(rest) == 0 {
		return
	}
	now := *m
	now.Findings = nil
	for _, i := range rest {
		now.Findings = append(now.Findings, m.Findings[i])
	}
	match(p.now.engine.config, &side{Model: &now, rules: d.Rules}, piece{of: &side{Model: &was.Model, rules: was.Folder.Rules}}, p.matched)
	for k, i := range rest {
		m.Findings[i] = now.Findings[k]
	}
}

// markNamed marks a finding that speaks of files: it is as before where one of its rule spoke
// of each of them, wherever they were.
func (p *formerly) markNamed(d *collection.Folder, hit *folderHit, f *finding.Finding) (speaks bool) {
	var fresh []string
	same := true
	for _, value := range hit.rule.More(hit.values) {
		for _, text := range hit.rule.Names(value, hit.folder) {
			speaks = true
			old := p.spoke(d, hit.rule, value, text)
			if old == nil {
				fresh = append(fresh, text)
				continue
			}
			p.matched[old] = true
			same = same && f.Level.Rank() >= old.Level.Rank()
		}
	}
	switch {
	case !speaks:
	case len(fresh) == 0 && same:
		f.Change = finding.Same
	case len(fresh) > 0 && p.spokeBefore(d, hit.rule):
		f.Worse = "worse than before: new is " + ruleset.Some(fresh)
	}
	return speaks
}

// spokeBefore says that the rule found something on the folder.
func (p *formerly) spokeBefore(d *collection.Folder, r *ruleset.Rule) bool {
	was := p.was(d)
	return was != nil && slices.ContainsFunc(was.Findings, func(f finding.Finding) bool { return f.Rule == r.ID })
}

// spoke is the finding of a rule that spoke of the same files, as they were; nil where there
// was none.
func (p *formerly) spoke(d *collection.Folder, r *ruleset.Rule, value ruleset.Named, text string) *finding.Finding {
	var files []string
	for _, name := range p.now.about(d, text) {
		was := ""
		if value.Copies {
			was = p.copies()[d.File(name)]
		} else {
			was = p.origin(d, name)
		}
		if was == "" {
			return nil
		}
		files = append(files, was)
	}
	f := p.found(p.place(d, collection.FolderOf(files[0])))
	if f == nil {
		return nil
	}
	return f.spoke[spokenOf{r.ID, value, keyOf(files)}]
}

// paths are names in a folder as rules name them.
func paths(d *collection.Folder, names []string) (list []string) {
	for _, name := range names {
		list = append(list, d.File(name))
	}
	return list
}

// tellGone adds what was found on the folders, and is no more, to the comparison. What two of
// them were is told with the first.
func (p *formerly) tellGone(judged []collection.Folder, mine func(*collection.Folder) bool, c *finding.Comparison) {
	told := map[*formerFolder]bool{nil: true}
	for i := range judged {
		was := p.was(&judged[i])
		if told[was] {
			continue
		}
		told[was] = true
		if !mine(&judged[i]) {
			continue
		}
		if gone := goneOf(&side{Model: &was.Model}, p.matched); len(gone) > 0 {
			m := was.Model
			m.Notes, m.Findings = []string{}, gone
			c.Gone += len(gone)
			c.Models = append(c.Models, m)
		}
	}
	slices.SortStableFunc(c.Models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
}
