package mend

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// seams are the distances, in mm, up to which corners at open edges are stitched
// together, one after the other, so that the nearest find each other first: each about
// four times the one before (judgement).
var seams = [...]float64{0.0005, 0.002, 0.008, 0.03, widestSeam}

// widestSeam is the side of a cell of the layers: a slit that narrow cannot be seen there.
const widestSeam = 0.1

// crowd bounds the corners within a seam's width of one corner, on average; where
// there are more, the surface is finer than the seam and nothing is stitched (judgement).
const crowd = 24

// stitch moves corners at open edges onto each other.
func (w *mending) stitch() {
	for _, width := range seams {
		if len(w.topo.Open) == 0 {
			return
		}
		loose := w.looseCorners()
		pairs, ok := w.near(loose, width)
		if !ok {
			return
		}
		if w.unite(pairs) {
			w.Widest = width
			w.refresh()
		}
	}
}

// looseCorners lists the vertices at open edges, ascending.
func (w *mending) looseCorners() []uint32 {
	m := w.mesh()
	list := make([]uint32, 0, 2*len(w.topo.Open))
	for _, h := range w.topo.Open {
		a, b := m.Ends(h)
		list = append(list, a, b)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// pair is two vertices near each other.
type pair struct {
	dist float64
	a, b uint32
}

// binned is a vertex in its bin of a grid.
type binned struct {
	bin [3]int32
	v   uint32
}

func byBin(a, b binned) int {
	return cmp.Or(cmp.Compare(a.bin[0], b.bin[0]), cmp.Compare(a.bin[1], b.bin[1]), cmp.Compare(a.bin[2], b.bin[2]), cmp.Compare(a.v, b.v))
}

// near lists the pairs of vertices up to a width apart, the nearest first; it reports
// false where there are too many.
func (w *mending) near(list []uint32, width float64) ([]pair, bool) {
	w.spend(sortCost * len(list))
	grid := make([]binned, len(list))
	for i, v := range list {
		grid[i].v = v
		for k, x := range w.verts[v] {
			grid[i].bin[k] = int32(max(min(math.Floor(float64(x)/width), math.MaxInt32-1), math.MinInt32+1))
		}
	}
	slices.SortFunc(grid, byBin)
	var pairs []pair
	for dx := int32(0); dx <= 1; dx++ {
		for dy := -dx; dy <= 1; dy++ {
			// Bins ahead of this one: each pair of bins is looked at once.
			low := int32(-1)
			if dx == 0 && dy == 0 {
				low = 0
			}
			if pairs = w.pairs(grid, dx, dy, low, width, pairs); len(pairs) > crowd*len(list)+1024 {
				return nil, false
			}
		}
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.dist, q.dist), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	return pairs, true
}

// pairs appends the pairs of each vertex with those in the row of bins that is moved
// by (dx, dy) and reaches from low to 1 along the third axis.
func (w *mending) pairs(grid []binned, dx, dy, low int32, width float64, pairs []pair) []pair {
	limit := crowd*len(grid) + 1024
	for i, j := 0, 0; i < len(grid) && len(pairs) <= limit; i++ {
		p := grid[i]
		from := binned{bin: [3]int32{p.bin[0] + dx, p.bin[1] + dy, p.bin[2] + low}}
		for j < len(grid) && byBin(grid[j], from) < 0 {
			j++
		}
		for n := j; n < len(grid) && grid[n].bin[0] == from.bin[0] && grid[n].bin[1] == from.bin[1] && grid[n].bin[2] <= p.bin[2]+1; n++ {
			q := grid[n]
			if low == 0 && n <= i {
				continue
			}
			if d := w.at(p.v).Sub(w.at(q.v)).Len(); d <= width && p.v != q.v {
				pairs = append(pairs, pair{d, min(p.v, q.v), max(p.v, q.v)})
			}
		}
	}
	return pairs
}

// unite makes one vertex of each cluster of near ones, in their middle, and reports
// whether there was any. Two corners of one triangle never become one.
func (w *mending) unite(pairs []pair) bool {
	if len(pairs) == 0 {
		return false
	}
	c := newClusters(w)
	united := 0
	for _, p := range pairs {
		if c.join(p.a, p.b) {
			united++
		}
	}
	if united == 0 {
		return false
	}
	w.Stitched += united
	c.apply()
	return true
}

// touching lists the triangles at each vertex: those of v are list[heads[v]:heads[v+1]].
func (w *mending) touching() (heads, list []uint32) {
	heads = make([]uint32, len(w.verts)+1)
	for _, t := range w.tris {
		if t[0] != t[1] {
			for _, v := range t {
				heads[v+1]++
			}
		}
	}
	for v := range w.verts {
		heads[v+1] += heads[v]
	}
	list = make([]uint32, heads[len(w.verts)])
	next := slices.Clone(heads[:len(w.verts)])
	for i, t := range w.tris {
		if t[0] != t[1] {
			for _, v := range t {
				list[next[v]] = uint32(i)
				next[v]++
			}
		}
	}
	return heads, list
}

// clusters are sets of vertices that become one.
type clusters struct {
	w           *mending
	root        []uint32 // of each vertex; itself when alone
	next        []uint32 // the next member of the set, in a ring
	size        []uint32
	heads, list []uint32
}

func newClusters(w *mending) *clusters {
	c := &clusters{w: w, root: make([]uint32, len(w.verts)), next: make([]uint32, len(w.verts)), size: make([]uint32, len(w.verts))}
	for i := range c.root {
		c.root[i], c.next[i], c.size[i] = uint32(i), uint32(i), 1
	}
	c.heads, c.list = w.touching()
	return c
}

// join unites the sets of a and b unless a triangle would lose a corner by it.
func (c *clusters) join(a, b uint32) bool {
	a, b = c.root[a], c.root[b]
	if a == b {
		return false
	}
	if c.size[a] < c.size[b] || c.size[a] == c.size[b] && a > b {
		a, b = b, a
	}
	for v, more := b, true; more; v, more = c.next[v], c.next[v] != b {
		c.w.spend(stepCost * int(c.heads[v+1]-c.heads[v]))
		for _, t := range c.list[c.heads[v]:c.heads[v+1]] {
			for _, other := range c.w.tris[t] {
				if c.root[other] == a {
					return false
				}
			}
		}
	}
	for v, more := b, true; more; v, more = c.next[v], c.next[v] != b {
		c.root[v] = a
	}
	c.next[a], c.next[b] = c.next[b], c.next[a]
	c.size[a] += c.size[b]
	return true
}

// apply moves the corners of all triangles onto the roots, and each root to the middle
// of its set.
func (c *clusters) apply() {
	w := c.w
	moved := slices.Clone(w.verts)
	for r := range c.root {
		if c.root[r] != uint32(r) || c.size[r] == 1 {
			continue
		}
		sum := w.at(uint32(r))
		for v := c.next[r]; v != uint32(r); v = c.next[v] {
			sum = sum.Add(w.at(v))
		}
		sum = sum.Scale(1 / float64(c.size[r]))
		moved[r] = mesh.Of32(sum)
	}
	for v, r := range c.root {
		moved[v] = moved[r]
	}
	w.verts = moved
	for i := range w.tris {
		for k, v := range w.tris[i] {
			w.tris[i][k] = c.root[v]
		}
	}
}
