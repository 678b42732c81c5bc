package spatial

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Pair is two triangles, the lower number first.
type Pair [2]uint32

// Crossing is what Crossings found.
type Crossing struct {
	// Pairs are the crossing pairs, in ascending order.
	Pairs []Pair
	// More says that there are more than these.
	More bool
	// Cut says that far too many triangles lie in each other's boxes to hold all against
	// each other, so that the pairs are only some of them.
	Cut bool
}

// What the search costs, in units of work: a pair of leaves, a pair of triangles whose
// boxes touch, and what follows where that does not do. Ordinary surfaces need some five of these a triangle in all.
const (
	leavesCost = 25
	readCost   = 40 // a leaf that is not known yet
	pairCost   = 12
	planeCost  = 60 // where a plane must tell
	crossCost  = 150
)

// What a search may cost: a disc of 4000 slivers around one corner is still searched
// through. Of 134 real parts none takes more than a fifth of this.
const (
	searchCost = 600_000_000
	searchEach = 3000
)

// fewPairs is how many pairs of triangles, and of leaves, each task may try where the whole
// would cost too much: enough to show some that cross. Leaves of copies hold no pairs.
const fewPairs = 20_000

// Crossings finds up to limit pairs of triangles that cross: each has corners strictly
// on both sides of the other's plane, and they have more than a point in common.
// Triangles that only touch, lie in one plane or share a side do not cross. Signs are
// exact. The mesh must be the one the tree was built from. Second copies of a triangle,
// which double lists in rising order, are passed over: they cross what the first one
// does. Up to jobs goroutines search; what they find does not depend on their number. It
// returns early, with an answer of no use, when the context or the limit of its work
// ends.
func (t *Tree) Crossings(ctx context.Context, m *mesh.Mesh, double []uint32, limit, jobs int) Crossing {
	meter := work.Of(ctx).Part(searchCost + searchEach*int64(len(t.tri)))
	all := t.crossings(m, meter, double, limit, math.MaxInt, jobs)
	if errors.Is(meter.Err(), work.ErrTooMuch) {
		all = t.crossings(m, work.Of(ctx), double, limit, fewPairs, jobs)
		all.More, all.Cut = true, true
	}
	return all
}

// crossings searches; each task tries as many pairs as its effort allows.
func (t *Tree) crossings(m *mesh.Mesh, meter *work.Meter, double []uint32, limit, effort, jobs int) Crossing {
	var tasks []*crossSearch
	if len(t.tri) > 1 {
		tasks = t.crossTasks(nil, t.root, 0)
	}
	var copies []bool // by triangle; nil where there are none
	if len(double) > 0 {
		copies = make([]bool, len(m.Tris))
		for _, t := range double {
			copies[t] = true
		}
	}
	for _, s := range tasks {
		s.tree, s.mesh, s.copies, s.limit, s.effort, s.tally = t, m, copies, limit, effort, meter.Tally()
	}
	work.Each(jobs, len(tasks), func() func(int) {
		known := new(knownLeaves)
		return func(i int) { tasks[i].run(known) }
	})
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
		return append(tasks, &crossSearch{child: child})
	}
	n := &t.nodes[child]
	tasks = t.crossTasks(tasks, n.child[0], depth+1)
	tasks = t.crossTasks(tasks, n.child[1], depth+1)
	if l, r := (limb{n, 0}), (limb{n, 1}); l.touches(r) {
		tasks = append(tasks, &crossSearch{x: l, y: r})
	}
	return tasks
}

// limb is a child as its parent holds it, with its box.
type limb struct {
	in   *node
	side int
}

func (l limb) child() int32 { return l.in.child[l.side&1] }

// halfArea is that of the limb's box.
func (l limb) halfArea() float32 {
	b, side := &l.in.box, l.side&1
	x, y, z := b[0][2+side]-b[0][side], b[1][2+side]-b[1][side], b[2][2+side]-b[2][side]
	return float32(x*y) + float32(y*z) + float32(z*x)
}

func (l limb) touches(o limb) bool {
	a, i, b, j := &l.in.box, l.side&1, &o.in.box, o.side&1
	return a[0][i] <= b[0][2+j] && b[0][j] <= a[0][2+i] && a[1][i] <= b[1][2+j] && b[1][j] <= a[1][2+i] &&
		a[2][i] <= b[2][2+j] && b[2][j] <= a[2][2+i]
}

// crossSearch is one task: the pairs within the subtree of a child, or between two
// limbs where there are any.
type crossSearch struct {
	tree   *Tree
	mesh   *mesh.Mesh
	copies []bool
	tally  work.Tally
	child  int32
	x, y   limb
	limit  int
	effort int
	pairs  []Pair
	more   bool
	known  *knownLeaves
}

func (s *crossSearch) run(known *knownLeaves) {
	s.known = known
	if s.x.in == nil {
		s.within(s.child)
	} else {
		s.between(s.x, s.y, s.x.halfArea(), s.y.halfArea())
	}
	s.more = s.tally.Close() != nil || s.more
}

// within searches a subtree for pairs.
func (s *crossSearch) within(child int32) {
	if s.more {
		return
	}
	if child < 0 {
		s.leaves(child, child)
		return
	}
	n := &s.tree.nodes[child]
	s.within(n.child[0])
	s.within(n.child[1])
	if l, r := (limb{n, 0}), (limb{n, 1}); l.touches(r) {
		s.between(l, r, l.halfArea(), r.halfArea())
	}
}

// between searches two limbs, whose boxes touch, for pairs with one triangle of each.
// The larger box is opened first.
func (s *crossSearch) between(x, y limb, areaX, areaY float32) {
	if s.more {
		return
	}
	a, b := x.child(), y.child()
	if a < 0 && b < 0 {
		s.leaves(a, b)
		return
	}
	if a < 0 || b >= 0 && areaY > areaX {
		a, y, areaY = b, x, areaX
	}
	n := &s.tree.nodes[a]
	for side := range n.child {
		if l := (limb{n, side}); l.touches(y) {
			s.between(l, y, l.halfArea(), areaY)
		}
	}
}

// leaves tries the triangles of two leaves against each other, each pair once where
// that is the same leaf.
func (s *crossSearch) leaves(x, y int32) {
	if s.effort--; s.effort < 0 || !s.tally.Add(leavesCost) {
		s.more = true
		return
	}
	a := s.known.leaf(s, x, nil)
	b, from := a, 1
	if x != y {
		b, from = s.known.leaf(s, y, a), 0
	}
	for i := range a.count {
		for j := from * (i + 1); j < b.count && !s.more; j++ {
			if a.box[i].touches(&b.box[j]) {
				s.test(a, b, i, j)
			}
		}
	}
}

// test tries one pair of triangles with touching boxes.
func (s *crossSearch) test(a, b *knownLeaf, i, j int) {
	if s.effort--; s.effort < 0 || !s.tally.Add(pairCost) {
		s.more = true
		return
	}
	if a.flat[i] > 0 && a.flat[i] == b.flat[j] {
		return // in one plane
	}
	same := shared(&a.tri[i], &b.tri[j])
	if same.count > 1 {
		return
	}
	c := s.tree.corners
	if same.count == 1 && !edgeMeets(&c[a.first+i], same.inA, &b.box[j]) && !edgeMeets(&c[b.first+j], same.inB, &a.box[i]) {
		return
	}
	// No corner of one can be farther from one of the other along an axis.
	extent := a.width[i] + b.width[j]
	if !s.tally.Add(planeCost) {
		s.more = true
		return
	}
	p := a.planeOf(i, c)
	if p.clears(&c[b.first+j], extent, same.inB) {
		return
	}
	q := b.planeOf(j, c)
	if q.clears(&c[a.first+i], extent, same.inA) {
		return
	}
	s.tally.Add(crossCost)
	if cross(p, q, same) {
		s.found(s.tree.tri[a.first+i], s.tree.tri[b.first+j])
	}
}

// edgeMeets says that the edge of a triangle across from one of its corners touches a box.
// Of two triangles that share that corner and cross, the stretch in common begins there
// and ends at such an edge of one of them: in a fan of slivers, hardly any does.
func edgeMeets(c *[9]float32, corner int, b *box32) bool {
	p, q := (corner+1)%3*3, (corner+2)%3*3
	for k := range 3 {
		if x, y := c[p+k], c[q+k]; max(x, y) < b.lo[k] || min(x, y) > b.hi[k] {
			return false
		}
	}
	return true
}

func (s *crossSearch) found(a, b uint32) {
	if len(s.pairs) >= s.limit {
		s.more = true
		return
	}
	s.pairs = append(s.pairs, Pair{min(a, b), max(a, b)})
}
