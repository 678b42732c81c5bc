package lint

import (
	"context"
	"fmt"
	"math"
	"slices"

	"printlint/internal/alike"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/work"
)

// Bounds of the search for models that were split, joined or copied: how many models of each
// side are looked at, how large they may be, and how many bodies each. Judgement.
const (
	maxFollowed  = 40
	maxTriangles = 400_000
	maxShells    = 32
)

// followed is a model that is looked at for what it was part of, or what became part of it.
type followed struct {
	*side
	mesh   *mesh.Mesh
	shells []shell
}

// shell is one body of a model, by itself.
type shell struct {
	*mesh.Mesh
	area   float64
	box    mesh.Box
	middle mesh.Vec // of its surface
}

// follow finds models that went into others, or came out of them, or are copies: what has no
// counterpart on one side is looked for among the bodies of what is new, gone or another
// shape on the other side.
func (b *Before) follow(ctx context.Context, config *ruleset.Config, files []collection.File, now, was []*side, opt Options) error {
	news, olds := alone(now), alone(was)
	if news == 0 && olds == 0 {
		return nil
	}
	h := &holder{config: config, opt: opt}
	ctx = work.Start(ctx, opt.TimeLimit)
	changed := func(s *side) bool {
		of := s
		if s.Was == nil && s.pair != nil {
			of = s.pair
		}
		return s.pair == nil || of.Was != nil && of.Was.Shape.Became == finding.OtherShape
	}
	takers := h.followed(ctx, byPath(files), now, func(s *side) bool { return s.pair == nil || olds > 0 && changed(s) })
	givers := h.followed(ctx, byPath(b.Files), was, func(s *side) bool { return s.pair == nil || news > 0 })
	for i := range takers {
		for k := range givers {
			if err := b.relate(ctx, config, &takers[i], &givers[k], changed); err != nil {
				return onlyLimit(ctx, err)
			}
		}
	}
	return nil
}

// onlyLimit drops an error that says no more than that the work was used up: what was found
// until then stands.
func onlyLimit(ctx context.Context, err error) error {
	if atLimit(ctx) {
		return nil
	}
	return err
}

// alone counts models without a counterpart.
func alone(sides []*side) (n int) {
	for _, s := range sides {
		if s.pair == nil {
			n++
		}
	}
	return n
}

// followed reads the models of one side that are looked at.
func (h *holder) followed(ctx context.Context, files map[string]*collection.File, sides []*side, wanted func(*side) bool) (list []followed) {
	for _, s := range sides {
		if len(list) == maxFollowed || work.Of(ctx).Err() != nil {
			break
		}
		if !wanted(s) || s.Triangles > maxTriangles || files[s.path] == nil {
			continue
		}
		if m := h.meshes(ctx, files[s.path], []*side{s}, 1)[0]; m != nil {
			list = append(list, followed{s, m, shellsOf(m)})
		}
	}
	return list
}

// relate says whether one model is a copy of another, came out of it, or took it in.
func (b *Before) relate(ctx context.Context, config *ruleset.Config, now, was *followed, changed func(*side) bool) error {
	if now.pair == nil && shapedAlike(now.side, was.side) {
		at, _, err := holds(ctx, []shell{wholeOf(was.mesh)}, []shell{wholeOf(now.mesh)})
		if err != nil || at != nil {
			if at != nil {
				alike := alikeWords(config, now.side, piece{of: was.side, at: at})
				now.Notes = append(now.Notes, fmt.Sprintf("it is a copy of %s in %s%s", was.Path, b.Rev, alike))
			}
			return err
		}
	}
	if now.pair == nil && changed(was.side) && len(was.shells) > len(now.shells) {
		at, in, err := holds(ctx, was.shells, now.shells)
		if err != nil {
			return err
		}
		if at != nil {
			now.Notes = append(now.Notes, fmt.Sprintf("it was part of %s in %s", was.Path, b.Rev))
			now.pieces = append(now.pieces, piece{was.side, at, in})
			was.followed = true
		}
	}
	if was.pair == nil && !was.followed && changed(now.side) && len(now.shells) > len(was.shells) {
		at, _, err := holds(ctx, was.shells, now.shells)
		if err != nil {
			return err
		}
		if at != nil {
			now.Notes = append(now.Notes, fmt.Sprintf("%s in %s became part of it", was.Path, b.Rev))
			now.pieces = append(now.pieces, piece{of: was.side, at: at})
			was.followed = true
		}
	}
	return nil
}

// holds says whether each body of the smaller list is one of the other, whatever list that
// is: where they went, and in which boxes they lay before. Sizes must agree, and nothing may
// be mirrored.
func holds(ctx context.Context, was, now []shell) (at *alike.Placement, in []mesh.Box, err error) {
	split := len(now) < len(was)
	few, many := was, now
	if split {
		few, many = now, was
	}
	taken, err := bodiesAmong(ctx, few, many)
	if err != nil || taken == nil {
		return nil, nil, err
	}
	var before, after []shell
	for i, k := range taken {
		from, to := few[i], many[k]
		if split {
			from, to = to, from
		}
		before, after, in = append(before, from), append(after, to), append(in, from.box)
	}
	// All of them together lie in fewer ways than one of them.
	r, err := alike.Compare(ctx, together(before), together(after), 1)
	if err == nil && r.Same {
		at = &r.Placement
	} else if err == nil {
		r, err = alike.Compare(ctx, before[0].Mesh, after[0].Mesh, 1)
		at = &r.Placement
	}
	return at, in, err
}

// bodiesAmong finds each body of a list among others, no two of them the same; nil where one
// is missing. Where several are alike, those are taken that lie to each other as in the list.
func bodiesAmong(ctx context.Context, few, many []shell) (first []int, err error) {
	known := map[[2]int]bool{}
	like := func(i, k int) bool {
		key := [2]int{i, k}
		if is, asked := known[key]; asked || err != nil {
			return is
		}
		known[key], err = isLike(ctx, &few[i], &many[k])
		return known[key]
	}
	for start := range many {
		var all []int
		if like(0, start) {
			all = bodiesFrom(few, many, start, like)
		}
		if err != nil {
			return nil, err
		}
		if len(all) == len(few) {
			return all, nil
		}
	}
	// They were moved apart: any will do.
	for i := range few {
		k := -1
		for j := range many {
			if k < 0 && !slices.Contains(first, j) && like(i, j) {
				k = j
			}
		}
		if err != nil || k < 0 {
			return nil, err
		}
		first = append(first, k)
	}
	return first, nil
}

// bodiesFrom takes one body for the first, and for the others those that lie as far from the
// ones before.
func bodiesFrom(few, many []shell, start int, like func(i, k int) bool) []int {
	const loose = 0.05 // mm between two exports; judgement
	all := []int{start}
	for i := 1; i < len(few); i++ {
		for k := range many {
			fits := !slices.Contains(all, k)
			for j := 0; fits && j < i; j++ {
				fits = math.Abs(few[i].middle.Sub(few[j].middle).Len()-many[k].middle.Sub(many[all[j]].middle).Len()) <= loose
			}
			if fits && like(i, k) {
				all = append(all, k)
				break
			}
		}
		if len(all) == i {
			return nil
		}
	}
	return all
}

// isLike says that two bodies are one, of one size and not mirrored.
func isLike(ctx context.Context, a, b *shell) (bool, error) {
	if math.Abs(b.area-a.area) > 1e-3*a.area {
		return false, nil
	}
	r, err := alike.Compare(ctx, a.Mesh, b.Mesh, 1)
	return err == nil && r.Same && r.Factor == 1 && !r.Mirrors(), err
}

// together is one mesh of several.
func together(list []shell) *mesh.Mesh {
	all := &mesh.Mesh{}
	for _, s := range list {
		all.Append(s.Mesh)
	}
	return all
}

func wholeOf(m *mesh.Mesh) shell { return shell{m, m.Area(), m.Box(), m.Centroid()} }

// shellsOf takes a mesh apart; one of more bodies than are looked at stays whole.
func shellsOf(m *mesh.Mesh) []shell {
	t := m.Topology()
	n := len(t.Shells)
	if n < 2 || n > maxShells {
		return []shell{wholeOf(m)}
	}
	parts := make([]*mesh.Mesh, n)
	for i := range parts {
		parts[i] = &mesh.Mesh{}
	}
	index := make([]uint32, len(m.Verts)) // 1 + the corner in its part; a corner of two bodies is listed anew
	owner := make([]uint32, len(m.Verts))
	for i, tri := range m.Tris {
		s := t.Shell[i]
		if s == mesh.None { // it has no area
			continue
		}
		p := parts[s]
		for k, v := range tri {
			if index[v] == 0 || owner[v] != s {
				p.Verts = append(p.Verts, m.Verts[v])
				index[v], owner[v] = uint32(len(p.Verts)), s
			}
			tri[k] = index[v] - 1
		}
		p.Tris = append(p.Tris, tri)
	}
	list := make([]shell, n)
	for i, p := range parts {
		list[i] = wholeOf(p)
	}
	return list
}
