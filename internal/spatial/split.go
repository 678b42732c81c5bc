package spatial

import (
	"cmp"
	"slices"
)

// bins is how many places for a split are weighed at every node.
const bins = 16

type bin struct {
	box   box32
	count int
}

// split reorders prims[lo:hi] into two parts, and returns where the second begins
// and the boxes of both.
func (b *builder) split(lo, hi, depth int) (mid int, left, right box32) {
	prims := b.prims[lo:hi]
	axis, from, extent := spread(prims)
	if extent > 0 && depth < depthByCost {
		scale := float32(bins) * (1 - 0x1p-20) / extent
		if cut := bestCut(prims, axis, from, scale); cut > 0 {
			mid, left, right = partition(prims, axis, from, scale, cut)
			return lo + mid, left, right
		}
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
	lo := [3]float32{prims[0].centre(0), prims[0].centre(1), prims[0].centre(2)}
	hi := lo
	for i := range prims {
		p := &prims[i]
		for k := range 3 {
			c := p.box.lo[k] + p.box.hi[k]
			if c < lo[k] {
				lo[k] = c
			}
			if c > hi[k] {
				hi[k] = c
			}
		}
	}
	for k := 1; k < 3; k++ {
		if hi[k]-lo[k] > hi[axis]-lo[axis] {
			axis = k
		}
	}
	return axis, lo[axis], hi[axis] - lo[axis]
}

// bestCut weighs every boundary between bins by surface times number on both sides,
// and returns how many bins go left, or 0 when there is nothing to choose.
func bestCut(prims []prim, axis int, from, scale float32) int {
	var in [bins]bin
	for i := range in {
		in[i].box = emptyBox32()
	}
	for i := range prims {
		p := &prims[i]
		at := &in[binOf(p, axis, from, scale)]
		at.count++
		at.box.include(&p.box)
	}
	var cost [bins]float32
	box, count := emptyBox32(), 0
	for i := bins - 1; i > 0; i-- {
		if in[i].count > 0 {
			box.include(&in[i].box)
			count += in[i].count
		}
		if count > 0 {
			cost[i] = box.halfArea() * float32(count)
		}
	}
	best, cut := float32(0), 0
	box, count = emptyBox32(), 0
	for i := range bins - 1 {
		if in[i].count == 0 {
			continue
		}
		box.include(&in[i].box)
		count += in[i].count
		if count == len(prims) {
			break
		}
		if c := float32(box.halfArea()*float32(count)) + cost[i+1]; cut == 0 || c < best {
			best, cut = c, i+1
		}
	}
	return cut
}

func binOf(p *prim, axis int, from, scale float32) int {
	return int((p.box.lo[axis]+p.box.hi[axis]-from)*scale) & (bins - 1)
}

// partition brings the triangles of the first cut bins to the front.
func partition(prims []prim, axis int, from, scale float32, cut int) (mid int, left, right box32) {
	left, right = emptyBox32(), emptyBox32()
	i, j := 0, len(prims)
	for i < j {
		if binOf(&prims[i], axis, from, scale) < cut {
			left.include(&prims[i].box)
			i++
			continue
		}
		right.include(&prims[i].box)
		j--
		prims[i], prims[j] = prims[j], prims[i]
	}
	return i, left, right
}

func union(prims []prim) box32 {
	box := emptyBox32()
	for i := range prims {
		box.include(&prims[i].box)
	}
	return box
}
