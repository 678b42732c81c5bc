package spatial

import (
	"cmp"
	"context"
	"slices"
	"sync"

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

// These bound how many pairs of triangles a task may test: a multiple of all triangles,
// a share of that for each task, and a start. Ordinary surfaces need some five a
// triangle in all; a disc of 4000 slivers around one corner is still searched through.
const (
	effortEach  = 32
	effortShare = 16
	effortStart = 10_000_000
)

// Crossings finds up to limit pairs of triangles that cross: each has corners strictly
// on both sides of the other's plane, and they have more than a point in common.
// Triangles that only touch, lie in one plane or share a side do not cross. Signs are
// exact. The mesh must be the one the tree was built from. Up to jobs goroutines
// search; what they find does not depend on their number. It returns early, with an
// answer of no use, when the context ends.
func (t *Tree) Crossings(ctx context.Context, m *mesh.Mesh, limit, jobs int) Crossing {
	var tasks []*crossSearch
	if len(t.tri) > 1 {
		tasks = t.crossTasks(nil, t.root, 0)
	}
	work := make(chan *crossSearch, len(tasks))
	for _, s := range tasks {
		s.ctx, s.tree, s.mesh, s.limit, s.effort = ctx, t, m, limit, effortEach*len(t.tri)/effortShare+effortStart
		work <- s
	}
	close(work)
	var wg sync.WaitGroup
	for range max(1, min(jobs, len(tasks))) {
		wg.Go(func() {
			for s := range work {
				s.run()
			}
		})
	}
	wg.Wait()
	var all Crossing
	for _, s := range tasks {
		all.Pairs = append(all.Pairs, s.pairs...)
		all.More = all.More || s.more
	}
	slices.SortFunc(all.Pairs, func(a, b Pair) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	if len(all.Pairs) > limit {
		all.Pairs, all.More = all.Pairs[:limit], true
	}
	return all
}

// crossDepth is how far down the search is cut into tasks.
const crossDepth = 6

// crossTasks cuts the search of a subtree into tasks, of which each is on its own: a
// smaller subtree, or the pairs between two that touch.
func (t *Tree) crossTasks(tasks []*crossSearch, child int32, depth int) []*crossSearch {
	if child < 0 || depth == crossDepth {
		return append(tasks, &crossSearch{x: child, y: child})
	}
	n := &t.nodes[child]
	tasks = t.crossTasks(tasks, n.child[0], depth+1)
	tasks = t.crossTasks(tasks, n.child[1], depth+1)
	l, r := n.side(0), n.side(1)
	if l.touches(&r) {
		tasks = append(tasks, &crossSearch{x: n.child[0], y: n.child[1], boxX: l, boxY: r})
	}
	return tasks
}

// crossSearch is one task: the pairs within a subtree x = y, or between two.
type crossSearch struct {
	ctx        context.Context
	tree       *Tree
	mesh       *mesh.Mesh
	x, y       int32
	boxX, boxY box32
	limit      int
	effort     int
	pairs      []Pair
	more       bool
}

func (s *crossSearch) run() {
	if s.x == s.y {
		s.within(s.x)
	} else {
		s.between(s.x, s.y, &s.boxX, &s.boxY)
	}
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
	if s.effort--; s.effort < 0 || s.effort&0xffff == 0 && s.ctx.Err() != nil {
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
