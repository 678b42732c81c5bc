package lint

import (
	"context"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
)

// copied pairs new models with those of the same content that did not change and lie
// outside of the run, so that a note can name them. All that is found on a copy is new: one
// more model that fails is one more failed print. What cannot be listed or read is no
// original.
func (b *Before) copied(ctx context.Context, g *engine, files []collection.File, now []*side, opt Options) error {
	if opt.Around.Rest == nil {
		return nil
	}
	fresh, sizes, present := map[string]bool{}, map[int64]bool{}, byPath(files)
	for _, s := range now {
		if file := present[s.path]; s.pair == nil && s.free && file != nil {
			fresh[s.SHA256], sizes[file.Size] = true, true
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	rest, err := opt.Around.Rest()
	if err != nil {
		return nil
	}
	originals := originalsIn(ctx, rest, taken(opt.Around.All, b.Files), fresh, sizes)
	entries, err := g.all(ctx, originals, opt)
	if err != nil {
		return err
	}
	of := map[string]*side{}
	key := func(s *side) string { return s.SHA256 + "\x00" + s.Part }
	for _, s := range sidesOf(originals, entries) {
		if of[key(s)] == nil {
			s.original = true
			of[key(s)] = s
		}
	}
	for _, s := range now {
		if was := of[key(s)]; s.pair == nil && s.free && was != nil && shapedAlike(s, was) {
			s.pair = was
		}
	}
	return nil
}

// taken are the paths of the files on both sides of a change.
func taken(lists ...[]collection.File) map[string]bool {
	paths := map[string]bool{}
	for _, files := range lists {
		for i := range files {
			paths[files[i].Rules] = true
		}
	}
	return paths
}

// originalsIn finds the first file of each wanted content among those that did not change.
// Only those of a wanted size are read; 0 is a size that is not known.
func originalsIn(ctx context.Context, rest []collection.File, taken, wanted map[string]bool, sizes map[int64]bool) (list []collection.File) {
	found := map[string]bool{}
	for i := range rest {
		f := &rest[i]
		if f.Skip != "" || taken[f.Rules] || f.Size != 0 && !sizes[0] && !sizes[f.Size] || ctx.Err() != nil {
			continue
		}
		if sum, err := hashOf(ctx, f); err == nil && wanted[sum] && !found[sum] {
			found[sum] = true
			list = append(list, *f)
		}
	}
	return list
}

// alikeWords says how an original does, where something counts on its copy.
func alikeWords(config *ruleset.Config, now *side, was piece) string {
	before, which := was.recorded()
	fails, accepted, some := false, true, false
	for i, m := range config.Match(before, recorded(now)) {
		if m.Before < 0 || !now.Findings[i].Counts() {
			continue
		}
		old := which[m.Before]
		some, fails = true, fails || old.Level == finding.Error
		accepted = accepted && old.Waived != nil
	}
	switch {
	case !some:
		return ""
	case accepted:
		return ", where the same is found and accepted"
	case fails:
		return ", which fails alike"
	}
	return ", where the same is found"
}
