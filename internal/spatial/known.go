package spatial

import (
	"printlint/internal/mesh"
)

// knownLeaf is a leaf with what the search for crossings asks of its triangles again
// and again.
type knownLeaf struct {
	child        int32 // the leaf, or 0 when there is none
	first, count int
	tri          [leafMax]mesh.Tri
	box          [leafMax]box32
	width        [leafMax]float64 // the longest side of the box, rounded upward
	flat         [leafMax]int8    // 1 + the axis along which the triangle has no extent, or 0
	plane        [leafMax]triPlane
	ready        [leafMax]bool
}

// knownLeaves keeps the leaves met last: one leaf meets some ten others, mostly soon
// after each other. Where it keeps a leaf is a matter of time only.
type knownLeaves struct {
	slot  [knownSlots]knownLeaf
	spare knownLeaf
}

const knownSlots = 64

// leaf returns what is known of a leaf, which is good until the next call but one;
// keep is a leaf that stays good.
func (k *knownLeaves) leaf(s *crossSearch, child int32, keep *knownLeaf) *knownLeaf {
	first, end := leafRange(child)
	l := &k.slot[first/2%knownSlots]
	if l.child == child {
		return l
	}
	if l == keep {
		l = &k.spare
	}
	l.child, l.first, l.count = child, first, end-first
	for i := range l.count {
		l.tri[i] = s.mesh.Tris[s.tree.tri[first+i]]
		b := &l.box[i]
		b.lo, b.hi = bounds(&s.tree.corners[first+i])
		l.flat[i] = b.flat()
		l.width[i] = 1.0000002 * float64(max(b.hi[0]-b.lo[0], b.hi[1]-b.lo[1], b.hi[2]-b.lo[2]))
	}
	l.ready = [leafMax]bool{}
	s.tally.Add(readCost)
	if s.copies != nil {
		l.passOver(s)
	}
	return l
}

// passOver gives second copies of a triangle a box that touches nothing.
func (l *knownLeaf) passOver(s *crossSearch) {
	for i := range l.count {
		if s.copies[s.tree.tri[l.first+i]] {
			l.box[i] = emptyBox32()
		}
	}
}

// planeOf returns the plane of a triangle of the leaf.
func (l *knownLeaf) planeOf(i int, corners [][9]float32) *triPlane {
	p := &l.plane[i]
	if !l.ready[i] {
		c := &corners[l.first+i]
		*p, l.ready[i] = newTriPlane(corner64(c, 0), corner64(c, 3), corner64(c, 6)), true
	}
	return p
}

func corner64(c *[9]float32, k int) point {
	return point{float64(c[k]), float64(c[k+1]), float64(c[k+2])}
}

func (b *box32) touches(o *box32) bool {
	return b.lo[0] <= o.hi[0] && o.lo[0] <= b.hi[0] && b.lo[1] <= o.hi[1] && o.lo[1] <= b.hi[1] &&
		b.lo[2] <= o.hi[2] && o.lo[2] <= b.hi[2]
}

// flat is 1 + the axis along which a box has no extent, or 0.
func (b *box32) flat() int8 {
	for k := range 3 {
		if b.lo[k] == b.hi[k] {
			return int8(k + 1)
		}
	}
	return 0
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
