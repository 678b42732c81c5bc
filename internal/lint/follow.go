package lint

import (
	"context"
	"fmt"
	"math"

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
	area float64
	box  mesh.Box
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
	taken := make([]bool, len(many))
	var before, after []shell
	for i := range few {
		k, err := oneLike(ctx, &few[i], many, taken)
		if err != nil || k < 0 {
			return nil, nil, err
		}
		taken[k] = true
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

// oneLike finds a body among those that are not taken; -1 where none is like it.
func oneLike(ctx context.Context, s *shell, many []shell, taken []bool) (int, error) {
	for k := range many {
		if taken[k] || math.Abs(many[k].area-s.area) > 1e-3*s.area {
			continue
		}
		r, err := alike.Compare(ctx, s.Mesh, many[k].Mesh, 1)
		if err != nil {
			return -1, err
		}
		if r.Same && r.Factor == 1 && !r.Mirrors() {
			return k, nil
		}
	}
	return -1, nil
}

// together is one mesh of several.
func together(list []shell) *mesh.Mesh {
	all := &mesh.Mesh{}
	for _, s := range list {
		all.Append(s.Mesh)
	}
	return all
}

func wholeOf(m *mesh.Mesh) shell { return shell{m, m.Area(), m.Box()} }

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
