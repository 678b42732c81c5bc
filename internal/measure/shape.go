package measure

import (
	"slices"

	"printlint/internal/measure/facet"
	"printlint/internal/mend"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// surfaceFacts is what the surface itself tells, whichever way up it lies.
type surfaceFacts struct {
	edges  *mesh.Topology
	facing lazy[*facet.Faces]
	tree   lazy[*spatial.Tree]
	whole  lazy[*mend.Mended]
	// The closed shells that are wound inside out, once looked for.
	inverted []uint32
	looked   bool
	parts    store
}

// topology returns the edges and shells of the mesh, found when first asked for.
func (b *Body) topology() *mesh.Topology {
	if b.edges == nil {
		b.edges = b.Mesh.Topology()
	}
	return b.edges
}

// What a triangle costs in work, about, as measured on large bodies: in a search tree,
// and looked over for what must be mended.
const (
	treeCost    = 300
	examineCost = 30
)

// charge counts work on every triangle before it is done: it is bounded by the file.
func (r *evaluation) charge(each int64) error {
	return work.Of(r.ctx).Spend(each * int64(len(r.body.Mesh.Tris)))
}

// search returns the search tree over the mesh without spare copies of triangles,
// built when first asked for.
func (r *evaluation) search() (*spatial.Tree, error) {
	return r.body.tree.get(func() (*spatial.Tree, error) {
		if err := r.charge(treeCost); err != nil {
			return nil, err
		}
		return spatial.Build(r.body.Mesh, r.body.topology().Spare, r.opt.Jobs)
	})
}

// insideOut lists the closed shells that are wound inside out, looked for when first asked.
func (r *evaluation) insideOut() ([]uint32, error) {
	b := r.body
	if b.looked {
		return b.inverted, nil
	}
	tree, err := r.search()
	if err != nil {
		return nil, err
	}
	tally := work.Of(r.ctx).Tally()
	list := insideOut(b.Mesh, b.topology(), tree, &tally)
	if err := tally.Close(); err != nil {
		return nil, err
	}
	b.inverted, b.looked = list, true
	return list, nil
}

// faces tells where triangles face, with what is wound inside out turned. It needs a search
// tree only where something may be.
func (r *evaluation) faces() (*facet.Faces, error) {
	return r.body.facing.get(func() (*facet.Faces, error) {
		if err := r.charge(facet.EachCost); err != nil {
			return nil, err
		}
		t := r.body.topology()
		var inverted []uint32
		if slices.ContainsFunc(t.Shells, func(s mesh.Shell) bool { return s.Closed && s.Volume < 0 }) {
			var err error
			if inverted, err = r.insideOut(); err != nil {
				return nil, err
			}
		}
		return facet.Of(r.body.Mesh, t, inverted), nil
	})
}
