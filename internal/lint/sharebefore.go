package lint

import (
	"context"
	"path"
	"strings"

	"printlint/internal/collection"
)

// Share keeps of the models as they were those that one share of the run compares its own
// with: what lay under the same paths, and of what is gone that whose content, name, or name
// but for the format, a new model of the share has. Each goes into exactly one share, the same
// whichever share asks. What was renamed and edited at once, split, or joined may lie in
// another share than what came of it, and is then gone in the one and new in the other.
func (b *Before) Share(ctx context.Context, all []collection.File, index, count int) {
	shares, there := collection.Shares(all, count), map[string]int{}
	for i := range all {
		there[all[i].Rules] = i
	}
	of := make([]int, len(b.Files)) // which share each goes to; 0 is none as yet
	past := map[string]bool{}
	for i := range b.Files {
		past[b.Files[i].Rules] = true
		for name := b.Files[i].Rules; name != "" && of[i] == 0; name = outerOf(name) {
			if k, is := there[name]; is {
				of[i] = shares[k]
			}
		}
	}
	used := make([]bool, len(all))
	for _, key := range []func(*collection.File) string{
		contentKey(ctx, all, b.Files, of, past),
		func(f *collection.File) string { return path.Base(f.Rules) },
		func(f *collection.File) string { return strings.TrimSuffix(f.Rules, path.Ext(f.Rules)) },
	} {
		fresh := map[string][]int{}
		for k := range all {
			if name := key(&all[k]); !past[all[k].Rules] && !used[k] && name != "" {
				fresh[name] = append(fresh[name], k)
			}
		}
		for i := range b.Files {
			name := ""
			if of[i] == 0 {
				name = key(&b.Files[i])
			}
			if list := fresh[name]; name != "" && len(list) > 0 {
				of[i], used[list[0]], fresh[name] = shares[list[0]], true, list[1:]
			}
		}
	}
	var own []collection.File
	for i := range b.Files {
		if of[i] == index || of[i] == 0 && i%count == index-1 {
			own = append(own, b.Files[i])
		}
	}
	b.all, b.Files = b.Files, own
}

// whole are the files of all shares.
func (b *Before) whole() []collection.File {
	if b.all != nil {
		return b.all
	}
	return b.Files
}

// outerOf is the pack that a file lies in; empty where it lies in none.
func outerOf(name string) string {
	return name[:max(strings.LastIndex(name, collection.Inside), 0)]
}

// contentKey knows files by the hash of their content. Only those are read whose size is that
// of one which is gone.
func contentKey(ctx context.Context, all, were []collection.File, of []int, past map[string]bool) func(*collection.File) string {
	gone, fresh := map[int64]bool{}, map[int64]bool{}
	for i := range were {
		gone[were[i].Size] = gone[were[i].Size] || of[i] == 0
	}
	for i := range all {
		fresh[all[i].Size] = fresh[all[i].Size] || !past[all[i].Rules]
	}
	return func(f *collection.File) string {
		if f.Skip != "" || !gone[f.Size] || !fresh[f.Size] || ctx.Err() != nil {
			return ""
		}
		sum, err := hashOf(ctx, f)
		if err != nil {
			return "" // it is told when it is judged
		}
		return sum
	}
}
