package spatial

import (
	"cmp"
	"slices"
)

// bins is how many places for a split are weighed at a large node. At a small one,
// where most of the time would go into empty bins, a few do.
const bins = 16

func binsFor(n int) int {
	if n <= 12 {
		return 4
	}
	if n <= 48 {
		return 8
	}
	return bins
}

type bin struct {
	box   ranks
	count int
}

// cut is where a node is split: by a boundary between bins along an axis.
type cut struct {
	axis        int
	from, scale float32
	last        int // the highest bin
	first       int // bins that go left
	left, right ranks
}

// crowded is from how many triangles on the box of a node stands for where their
// middles lie, which spares a look at all of them.
const crowded = 48

// split reorders prims[lo:hi], whose box is known, into two parts, and returns where
// the second begins and the boxes of both.
func (b *builder) split(lo, hi, depth int, box *ranks) (mid int, left, right ranks) {
	prims := b.prims[lo:hi]
	if len(prims) > crowded {
		axis, from, extent := box.widest(2)
		if c, ok := choose(prims, depth, axis, from, extent); ok {
			return lo + c.partition(prims), c.left, c.right
		}
	}
	axis, from, extent := spread(prims)
	if c, ok := choose(prims, depth, axis, from, extent); ok {
		return lo + c.partition(prims), c.left, c.right
	}
	// Middles all alike, or far too deep: halve by number.
	slices.SortFunc(prims, func(p, q prim) int {
		return cmp.Or(cmp.Compare(p.centre(axis), q.centre(axis)), cmp.Compare(p.tri, q.tri))
	})
	half := len(prims) / 2
	return lo + half, union(prims[:half]), union(prims[half:])
}

// spread returns the axis along which the middles lie farthest apart, where they
// begin on it and how far they reach.
func spread(prims []prim) (axis int, from, extent float32) {
	all := noRanks
	for i := range prims {
		p := &prims[i]
		x, y, z := rank(p.centre(0)), rank(p.centre(1)), rank(p.centre(2))
		all.include(&ranks{[3]int32{x, y, z}, [3]int32{x, y, z}})
	}
	return all.widest(1)
}

// choose weighs where to cut the stretch of an axis that holds the middles, and says
// whether there was anything to choose.
func choose(prims []prim, depth, axis int, from, extent float32) (cut, bool) {
	n := binsFor(len(prims))
	c := cut{axis: axis, from: from, last: n - 1, scale: float32(n) * (1 - 0x1p-20) / extent}
	ok := extent > 0 && depth < depthByCost && c.choose(prims, n)
	return c, ok
}

// choose weighs every boundary between n bins by surface times number on both sides,
// and says whether there was anything to choose.
func (c *cut) choose(prims []prim, n int) bool {
	var in [bins]bin
	for i := range n {
		in[i].box = noRanks
	}
	for i := range prims {
		p := &prims[i]
		at := &in[c.bin(p)]
		at.count++
		at.box.include(&p.box)
	}
	var after [bins]ranks // what lies in a bin and all after it
	var cost [bins]float32
	box, count := noRanks, 0
	for i := n - 1; i > 0; i-- {
		if in[i].count > 0 {
			box.include(&in[i].box)
			count += in[i].count
			cost[i] = box.halfArea() * float32(count)
		} else if i < n-1 {
			cost[i] = cost[i+1]
		}
		after[i] = box
	}
	best := float32(0)
	box, count = noRanks, 0
	for i := range n - 1 {
		if in[i].count == 0 {
			continue
		}
		box.include(&in[i].box)
		count += in[i].count
		if count == len(prims) {
			break
		}
		if x := float32(box.halfArea()*float32(count)) + cost[i+1]; c.first == 0 || x < best {
			best, c.first, c.left, c.right = x, i+1, box, after[i+1]
		}
	}
	return c.first > 0
}

// bin is the bin of a triangle; whatever overflow does to it, there is such a bin.
func (c *cut) bin(p *prim) int {
	return min(int((p.centre(c.axis)-c.from)*c.scale)&(bins-1), c.last)
}

// partition brings the triangles of the first bins to the front and returns their
// number.
func (c *cut) partition(prims []prim) int {
	i, j := 0, len(prims)
	for {
		for i < j && c.bin(&prims[i]) < c.first {
			i++
		}
		for i < j && c.bin(&prims[j-1]) >= c.first {
			j--
		}
		if i == j {
			return i
		}
		j--
		prims[i], prims[j] = prims[j], prims[i]
		i++
	}
}

func union(prims []prim) ranks {
	box := noRanks
	for i := range prims {
		box.include(&prims[i].box)
	}
	return box
}
