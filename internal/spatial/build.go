package spatial

import (
	"fmt"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// prim is a triangle while the tree is built.
type prim struct {
	box ranks
	tri uint32
}

// centre is twice the middle of the box along an axis.
func (p *prim) centre(k int) float32 { return value(p.box.lo[k]) + value(p.box.hi[k]) }

// chunks is into about how many subtrees a large mesh is cut before these are built
// on their own. It is fixed, so that the tree does not depend on the workers.
const chunks = 32

// Build makes the tree of a mesh with up to jobs goroutines. The triangles of skip,
// ascending, are left out: second copies of a triangle would be counted twice. It
// splits by the surface area heuristic in bins (Wald, On fast construction of
// SAH-based bounding volume hierarchies, 2007). It fails above 2^29 triangles.
func Build(m *mesh.Mesh, skip []uint32, jobs int) (*Tree, error) {
	if len(m.Tris) >= maxTriangles {
		return nil, fmt.Errorf("%d triangles are more than the %d a search tree can hold", len(m.Tris), maxTriangles-1)
	}
	t := &Tree{box: emptyBox32(), root: leaf(0, 1)}
	prims, box := t.prims(m, skip)
	n := len(prims)
	if n == 0 {
		return t, nil
	}
	b := builder{prims: prims}
	if n > leafMax {
		t.nodes, t.root = b.whole(jobs, &box)
	} else {
		t.root = leaf(0, n)
	}
	t.tri = make([]uint32, n)
	t.corners = make([][9]float32, n)
	for i := range prims {
		t.tri[i] = prims[i].tri
		tri := &m.Tris[prims[i].tri]
		p, q, r := m.Verts[tri[0]], m.Verts[tri[1]], m.Verts[tri[2]]
		t.corners[i] = [9]float32{p[0], p[1], p[2], q[0], q[1], q[2], r[0], r[1], r[2]}
	}
	t.padBoxes()
	return t, nil
}

// prims takes the boxes of all triangles but those to skip, and the box and reach of
// the mesh.
func (t *Tree) prims(m *mesh.Mesh, skip []uint32) ([]prim, ranks) {
	prims := make([]prim, max(0, len(m.Tris)-len(skip)))
	next, box := 0, noRanks
	for i := range m.Tris {
		if len(skip) > 0 && skip[0] == uint32(i) {
			skip = skip[1:]
			continue
		}
		p := &prims[next]
		next++
		p.tri = uint32(i)
		tri := &m.Tris[i]
		a, b, c := &m.Verts[tri[0]], &m.Verts[tri[1]], &m.Verts[tri[2]]
		for k := range 3 {
			x, y, z := rank(a[k]), rank(b[k]), rank(c[k])
			p.box.lo[k], p.box.hi[k] = min(x, y, z), max(x, y, z)
		}
		box.include(&p.box)
	}
	t.box = box.box32()
	for k := range 3 {
		t.reach = max(t.reach, float64(t.box.hi[k]), -float64(t.box.lo[k]))
	}
	return prims, box
}

// padBoxes moves all sides outward by the pad.
func (t *Tree) padBoxes() {
	d := float32(t.reach * pad)
	for i := range t.nodes {
		for k := range 3 {
			s := &t.nodes[i].box[k]
			s[0], s[1], s[2], s[3] = s[0]-d, s[1]-d, s[2]+d, s[3]+d
		}
	}
	for k := range 3 {
		t.box.lo[k] -= d
		t.box.hi[k] += d
	}
}

// builder builds nodes over a piece of the triangles.
type builder struct {
	prims []prim
	first int // place of prims[0] in the tree
	nodes []node
}

// subtree is a subtree that is built on its own and hung in at a node.
type subtree struct {
	builder
	box    ranks
	depth  int
	parent int32
	side   int
	root   int32
}

// whole builds the top of the tree, then the pieces below it, and joins them in the
// order of their triangles.
func (b *builder) whole(jobs int, box *ranks) ([]node, int32) {
	limit := max(len(b.prims)/chunks, 4096)
	var pieces []*subtree
	root := b.top(0, len(b.prims), 0, limit, box, &pieces, -1, 0)
	work.Each(jobs, len(pieces), func() func(int) {
		return func(i int) {
			p := pieces[i]
			p.nodes = make([]node, 0, len(p.prims)*3/8) // most meshes take a third
			p.root = p.build(0, len(p.prims), p.depth, &p.box)
		}
	})
	total := len(b.nodes)
	for _, p := range pieces {
		total += len(p.nodes)
	}
	nodes := append(make([]node, 0, total), b.nodes...)
	for _, p := range pieces {
		shift := int32(len(nodes))
		for _, n := range p.nodes {
			for side := range n.child {
				if n.child[side] >= 0 {
					n.child[side] += shift
				}
			}
			nodes = append(nodes, n)
		}
		if p.root >= 0 {
			p.root += shift
		}
		if p.parent < 0 {
			root = p.root
		} else {
			nodes[p.parent].child[p.side] = p.root
		}
	}
	return nodes, root
}

// top splits until pieces are small enough to be built on their own.
func (b *builder) top(lo, hi, depth, limit int, box *ranks, pieces *[]*subtree, parent int32, side int) int32 {
	if hi-lo <= limit {
		*pieces = append(*pieces, &subtree{
			builder: builder{prims: b.prims[lo:hi], first: lo}, box: *box, depth: depth, parent: parent, side: side})
		return 0
	}
	mid, left, right := b.split(lo, hi, depth, box)
	at := b.add(&left, &right)
	l := b.top(lo, mid, depth+1, limit, &left, pieces, at, 0)
	r := b.top(mid, hi, depth+1, limit, &right, pieces, at, 1)
	b.nodes[at].child = [2]int32{l, r}
	return at
}

// build makes the subtree of prims[lo:hi] and returns its number.
func (b *builder) build(lo, hi, depth int, box *ranks) int32 {
	if hi-lo <= leafMax {
		return leaf(b.first+lo, hi-lo)
	}
	mid, left, right := b.split(lo, hi, depth, box)
	at := b.add(&left, &right)
	l := b.build(lo, mid, depth+1, &left)
	r := b.build(mid, hi, depth+1, &right)
	b.nodes[at].child = [2]int32{l, r}
	return at
}

func (b *builder) add(left, right *ranks) int32 {
	var n node
	for k := range 3 {
		n.box[k] = [4]float32{value(left.lo[k]), value(right.lo[k]), value(left.hi[k]), value(right.hi[k])}
	}
	b.nodes = append(b.nodes, n)
	return int32(len(b.nodes) - 1)
}
