package cut

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// triangulate fills an outline with holes by clipping ears, each hole first joined to the
// outline by a bridge that is walked both ways (D. Eberly, Triangulation by Ear Clipping).
// All corners are used, and every triangle has an area: since the triangles' outer sides are
// the outlines, they then cover the inside once.
func triangulate(o outline, holes []outline, tally *work.Tally) ([]mesh.Tri, error) {
	ring := slices.Clone(o)
	far := func(h outline) int {
		k := 0
		for i := range h {
			if cmp.Or(cmp.Compare(h[i].x, h[k].x), cmp.Compare(h[i].y, h[k].y)) > 0 {
				k = i
			}
		}
		return k
	}
	slices.SortStableFunc(holes, func(a, b outline) int { return -cmp.Compare(a[far(a)].x, b[far(b)].x) })
	for _, h := range holes {
		i := far(h)
		at := seen(ring, h[i])
		if at < 0 || !tally.Add(int64(4*len(ring))) {
			return nil, ErrSection
		}
		joined := slices.Concat(ring[:at+1], h[i:], h[:i+1])
		ring = append(joined, ring[at:]...)
	}
	return newClipper(ring).clip(tally)
}

// seen returns a corner of the ring that can be seen from p, looking to the right: the end
// of the first side that is met, or of the corners in front of it the one most straight
// ahead.
func seen(ring outline, p corner) int {
	at, x := -1, math.Inf(1)
	for i, a := range ring {
		k := (i + 1) % len(ring)
		b := ring[k]
		if a.y > p.y || b.y < p.y || a.y == b.y { // the inside lies to the left of what rises
			continue
		}
		meets := a.x + float64((p.y-a.y)/(b.y-a.y)*(b.x-a.x))
		if meets >= p.x && meets < x {
			x, at = meets, i
			if b.x > a.x {
				at = k
			}
		}
	}
	if at < 0 {
		return at
	}
	end, met := ring[at], corner{x: x, y: p.y}
	best, steep, near := at, math.Inf(1), math.Inf(1)
	for i, q := range ring {
		before, after := ring[(i+len(ring)-1)%len(ring)], ring[(i+1)%len(ring)]
		if q.x < p.x || same(q, p) || !within(p, met, end, q) || !opens(before, q, after, p) {
			continue
		}
		slope := math.Abs(q.y-p.y) / max(q.x-p.x, 1e-300)
		if slope < steep || slope == steep && q.x < near {
			best, steep, near = i, slope, q.x
		}
	}
	return best
}

// opens says whether p lies in the inner angle at corner b.
func opens(a, b, c, p corner) bool {
	if turn(a, b, c) > 0 {
		return turn(a, b, p) > 0 && turn(b, c, p) > 0
	}
	return turn(a, b, p) > 0 || turn(b, c, p) > 0
}

// within says whether q lies in or on the triangle, which may be wound either way.
func within(a, b, c, q corner) bool {
	u, v, w := turn(a, b, q), turn(b, c, q), turn(c, a, q)
	return u >= 0 && v >= 0 && w >= 0 || u <= 0 && v <= 0 && w <= 0
}

// clipper takes corners off a ring.
type clipper struct {
	ring         outline
	before, next []int32
	hollow       []int32 // corners that are no ears now; those that have become ones are left in it
}

func newClipper(ring outline) *clipper {
	n := len(ring)
	c := &clipper{ring: ring, before: make([]int32, n), next: make([]int32, n)}
	for i := range n {
		c.before[i], c.next[i] = int32((i+n-1)%n), int32((i+1)%n)
		if turn(ring[c.before[i]], ring[i], ring[c.next[i]]) <= 0 {
			c.hollow = append(c.hollow, int32(i))
		}
	}
	return c
}

// clip goes round and takes off every second ear, which keeps triangles from becoming a fan
// of slivers.
func (c *clipper) clip(tally *work.Tally) ([]mesh.Tri, error) {
	left, at, since := len(c.ring), int32(0), 0
	var tris []mesh.Tri
	for left > 2 {
		if !tally.Add(int64(8 + 4*len(c.hollow))) {
			return nil, ErrSection
		}
		a, b := c.before[at], c.next[at]
		if !c.ear(a, at, b) {
			at = b
			if since++; since > left {
				return nil, ErrSection
			}
			continue
		}
		tris = append(tris, mesh.Tri{c.ring[a].v, c.ring[at].v, c.ring[b].v})
		c.next[a], c.before[b] = b, a
		c.next[at] = -1
		left, since = left-1, 0
		at = c.next[b]
		if len(tris)%64 == 0 {
			c.hollow = slices.DeleteFunc(c.hollow, func(i int32) bool { return !c.isHollow(i) })
		}
	}
	return tris, nil
}

// isHollow says that a corner is still there and turns inwards or not at all. A corner can
// only open when others are taken off, so that none becomes hollow again.
func (c *clipper) isHollow(i int32) bool {
	return c.next[i] >= 0 && turn(c.ring[c.before[i]], c.ring[i], c.ring[c.next[i]]) <= 0
}

// ear says that the corner can be taken off: it turns to the left, and no other corner lies
// in or on the triangle.
func (c *clipper) ear(a, at, b int32) bool {
	p, q, r := c.ring[a], c.ring[at], c.ring[b]
	if turn(p, q, r) <= 0 {
		return false
	}
	for _, i := range c.hollow {
		k := c.ring[i]
		if c.next[i] < 0 || same(k, p) || same(k, q) || same(k, r) {
			continue
		}
		if turn(p, q, k) >= 0 && turn(q, r, k) >= 0 && turn(r, p, k) >= 0 && c.isHollow(i) {
			return false
		}
	}
	return true
}
