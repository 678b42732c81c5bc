package spatial

import (
	"cmp"
	"slices"

	"printlint/internal/mesh"
)

// Pair is two triangles, the lower number first.
type Pair [2]uint32

// Crossing is what Crossings found.
type Crossing struct {
	// Pairs are the crossing pairs, in ascending order.
	Pairs []Pair
	// More says that the search ended early: at the limit, or because far too many
	// triangles lie in each other's boxes.
	More bool
}

// effort bounds the number of pairs of triangles that are tested, as a multiple of
// the number of triangles and a start: ordinary surfaces need some five a triangle.
const (
	effortEach  = 200
	effortStart = 5_000_000
)

// Crossings finds up to limit pairs of triangles that cross: each has corners strictly
// on both sides of the other's plane, and they have more than a point in common.
// Triangles that only touch, lie in one plane or share a side do not cross. Signs are
// exact. The mesh must be the one the tree was built from.
func (t *Tree) Crossings(m *mesh.Mesh, limit int) Crossing {
	s := crossSearch{tree: t, mesh: m, limit: limit, effort: effortEach*len(t.tri) + effortStart}
	if len(t.tri) > 1 {
		s.within(t.root)
	}
	slices.SortFunc(s.pairs, func(a, b Pair) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	return Crossing{Pairs: s.pairs, More: s.more}
}

type crossSearch struct {
	tree   *Tree
	mesh   *mesh.Mesh
	limit  int
	effort int
	pairs  []Pair
	more   bool
}

// within searches a subtree for pairs.
func (s *crossSearch) within(child int32) {
	if s.more {
		return
	}
	if child < 0 {
		a, b := leafRange(child)
		s.leaves(a, b, a, b)
		return
	}
	n := &s.tree.nodes[child]
	s.within(n.child[0])
	s.within(n.child[1])
	l, r := n.side(0), n.side(1)
	if l.touches(&r) {
		s.between(n.child[0], n.child[1], &l, &r)
	}
}

// between searches two subtrees, whose boxes touch, for pairs with one triangle of
// each.
func (s *crossSearch) between(x, y int32, boxX, boxY *box32) {
	if s.more {
		return
	}
	if x < 0 && y < 0 {
		a, b := leafRange(x)
		first, end := leafRange(y)
		s.leaves(a, b, first, end)
		return
	}
	if x < 0 || y >= 0 && boxY.halfArea() > boxX.halfArea() {
		x, y, boxX, boxY = y, x, boxY, boxX
	}
	n := &s.tree.nodes[x]
	for side := range n.child {
		if b := n.side(side); b.touches(boxY) {
			s.between(n.child[side], y, &b, boxY)
		}
	}
}

func (n *node) side(side int) box32 {
	var b box32
	for k := range 3 {
		b.lo[k], b.hi[k] = n.box[k][side], n.box[k][2+side]
	}
	return b
}

func (b *box32) touches(o *box32) bool {
	return b.lo[0] <= o.hi[0] && o.lo[0] <= b.hi[0] && b.lo[1] <= o.hi[1] && o.lo[1] <= b.hi[1] &&
		b.lo[2] <= o.hi[2] && o.lo[2] <= b.hi[2]
}

// leaves tries the triangles at places a to b against those at first to end, each
// pair once where that is the same leaf.
func (s *crossSearch) leaves(a, b, first, end int) {
	var boxes [leafMax]box32
	for j := first; j < end; j++ {
		boxes[j-first].lo, boxes[j-first].hi = bounds(&s.tree.corners[j])
	}
	for i := a; i < b; i++ {
		var own box32
		from := first
		if a == first {
			own, from = boxes[i-a], i+1
		} else {
			own.lo, own.hi = bounds(&s.tree.corners[i])
		}
		var p plane
		ready := false
		for j := from; j < end && !s.more; j++ {
			if other := &boxes[j-first]; own.touches(other) {
				s.test(i, j, &p, &ready, &own, other)
			}
		}
	}
}

// test tries one pair of triangles with touching boxes. The plane of the first is made
// ready when first needed.
func (s *crossSearch) test(i, j int, p *plane, ready *bool, own, other *box32) {
	t := s.tree
	if s.effort--; s.effort < 0 {
		s.more = true
		return
	}
	same := shared(&s.mesh.Tris[t.tri[i]], &s.mesh.Tris[t.tri[j]])
	if same.count > 1 {
		return
	}
	if !*ready {
		*p, *ready = newPlane(t.point(i, 0), t.point(i, 1), t.point(i, 2)), true
	}
	if !p.clears(&t.corners[j], extent(own, other), same.inB) && t.cross(p, i, j, same) {
		s.found(t.tri[i], t.tri[j])
	}
}

// extent is how far any corner of two triangles with touching boxes can be from any
// other along an axis.
func extent(a, b *box32) float64 {
	most := float32(0)
	for k := range 3 {
		most = max(most, a.hi[k]-b.lo[k], b.hi[k]-a.lo[k], a.hi[k]-a.lo[k])
	}
	return 1.0000002 * float64(most)
}

func (s *crossSearch) found(a, b uint32) {
	if len(s.pairs) >= s.limit {
		s.more = true
		return
	}
	s.pairs = append(s.pairs, Pair{min(a, b), max(a, b)})
}

func bounds(c *[9]float32) (lo, hi [3]float32) {
	for k := range 3 {
		a, b, d := c[k], c[3+k], c[6+k]
		if a > b {
			a, b = b, a
		}
		lo[k], hi[k] = a, b
		if d < a {
			lo[k] = d
		} else if d > b {
			hi[k] = d
		}
	}
	return lo, hi
}

func (t *Tree) point(i, k int) point {
	c := &t.corners[i]
	return point{float64(c[3*k]), float64(c[3*k+1]), float64(c[3*k+2])}
}
