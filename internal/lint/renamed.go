package lint

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/ruleset"
	"printlint/internal/work"
)

// Around is what lies around a run, for accepted findings to follow a model that was
// renamed. The zero value says that the run is all there is.
type Around struct {
	// All is the run before it was shared; nil is the run itself.
	All []collection.File
	// Rest, when not nil, lists the whole collection of which the run looks at a part.
	Rest func() ([]collection.File, error)
	// There, when not nil, says whether a file is there, by the path that rules are
	// written against.
	There func(path string) bool
}

// renames finds the files that lay elsewhere when findings on them were accepted.
type renames struct {
	Around
	usage *ruleset.Usage
	in    map[string]bool     // files of the run
	own   map[string]bool     // files with accepted findings of their own
	lost  map[string][]string // by hash: files that are not in the run and may be gone
	sizes map[int64]bool      // of those; 0 is a size that is not known
}

// follow lets accepted findings go with a file that was only renamed: where nothing lies
// under the old path any more, a file of the same content takes its place. Each is taken
// once: of several copies that which the run does not look at comes first, then the
// first by path. The whole run is asked, never a share of it, so that all shares agree.
func follow(ctx context.Context, usage *ruleset.Usage, files []collection.File, around Around) error {
	if around.All == nil {
		around.All = files
	}
	r := &renames{Around: around, usage: usage, in: map[string]bool{}, own: map[string]bool{},
		lost: map[string][]string{}, sizes: map[int64]bool{}}
	for i := range r.All {
		r.in[r.All[i].Rules] = true
	}
	r.lose()
	found := map[string][]string{}
	r.look(ctx, r.All, found)
	if len(found) == 0 {
		return ctx.Err()
	}
	first := map[string][]string{}
	if r.Rest != nil {
		if rest, err := r.Rest(); err == nil {
			r.look(ctx, slices.DeleteFunc(rest, func(f collection.File) bool { return r.in[f.Rules] }), first)
		}
	}
	for sum, list := range found {
		slices.Sort(first[sum])
		slices.Sort(list)
		r.take(r.gone(sum), append(first[sum], list...))
	}
	return ctx.Err()
}

// lose lists what was accepted on files that are not in the run.
func (r *renames) lose() {
	for _, m := range r.usage.Models() {
		file := ruleset.FileOf(m.Path)
		r.own[file] = true
		if m.SHA256 == "" || r.in[file] || slices.Contains(r.lost[m.SHA256], file) {
			continue
		}
		r.lost[m.SHA256] = append(r.lost[m.SHA256], file)
		r.sizes[m.Bytes] = true
	}
}

// look finds files with the content of lost ones, by hash. Only those of the right size
// are read.
func (r *renames) look(ctx context.Context, files []collection.File, found map[string][]string) {
	for i := range files {
		f := &files[i]
		if r.own[f.Rules] || f.Skip != "" || !(r.sizes[f.Size] || f.Size == 0 || r.sizes[0]) || len(r.lost) == 0 || ctx.Err() != nil {
			continue
		}
		sum, err := hashOf(ctx, f)
		if err == nil && len(r.lost[sum]) > 0 {
			found[sum] = append(found[sum], f.Rules)
		}
	}
}

// hashOf is the hash of a file's content. What cannot be read is told when it is judged.
func hashOf(ctx context.Context, f *collection.File) (string, error) {
	content, err := f.Open()
	if err != nil {
		return "", err
	}
	defer content.Close()
	return hash(charged{content, work.Of(ctx)})
}

// gone lists the lost files of one content that are not there any more, sorted.
func (r *renames) gone(sum string) []string {
	var list []string
	for _, path := range r.lost[sum] {
		if !r.there(path) {
			list = append(list, path)
		}
	}
	slices.SortFunc(list, cmp.Compare)
	return list
}

// there says that a file which is not in the run is there all the same. What a pack
// holds is known only where the run looked into it.
func (r *renames) there(path string) bool {
	if r.There == nil {
		return false
	}
	for at := 0; ; at += len(collection.Inside) {
		next := strings.Index(path[at:], collection.Inside)
		if next < 0 {
			return r.There(path)
		}
		at += next
		if outer := path[:at]; r.in[outer] || r.There(outer) {
			return !r.within(outer + collection.Inside)
		}
	}
}

// within says that the run holds files below a path.
func (r *renames) within(prefix string) bool {
	return slices.ContainsFunc(r.All, func(f collection.File) bool { return strings.HasPrefix(f.Rules, prefix) })
}

// take gives each file that is gone to one that holds its content.
func (r *renames) take(gone, list []string) {
	for i := range min(len(gone), len(list)) {
		r.usage.Take(list[i], gone[i])
	}
}
