package lint

import (
	"cmp"
	"context"
	"slices"

	"printlint/internal/alike"
	"printlint/internal/collection"
	"printlint/internal/ruleset"
	"printlint/internal/work"
)

// editedShare is the share of corners that a model must keep to be taken for another one
// that is gone, renamed and edited at once. Judgement: a box has 8 corners, and two boxes
// of one place and size on the bed share half of them.
const editedShare = 0.6

// edited pairs models that were renamed and edited at once: of those whose file is new and
// those whose file is gone, the two that share most corners.
func (b *Before) edited(ctx context.Context, config *ruleset.Config, files []collection.File, now, was []*side, opt Options) {
	open := func(s *side) bool { return s.pair == nil && s.free }
	if !slices.ContainsFunc(now, open) || !slices.ContainsFunc(was, open) {
		return
	}
	ctx = work.Start(ctx, opt.TimeLimit)
	h := &holder{config: config, opt: opt}
	news, olds := h.followed(ctx, byPath(files), now, open), h.followed(ctx, byPath(b.Files), was, open)
	type couple struct {
		now, was *side
		share    float64
	}
	var list []couple
	for i := range news {
		for k := range olds {
			n, o := &news[i], &olds[k]
			if work.Of(ctx).Spend(int64(500*(len(n.mesh.Verts)+len(o.mesh.Verts)))) != nil {
				return
			}
			if share := alike.Shared(o.mesh, n.mesh); share >= editedShare {
				list = append(list, couple{n.side, o.side, share})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b couple) int { return -cmp.Compare(a.share, b.share) })
	for _, c := range list {
		if c.now.pair == nil && c.was.pair == nil {
			c.now.pair, c.was.pair = c.was, c.now
		}
	}
}
