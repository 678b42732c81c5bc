package shapes

import (
	"fmt"
	"math"
	"sort"
)

// Polygon is a simple polygon in the plane, without the first corner repeated. It
// may be concave and may be given in either direction.
type Polygon [][2]float64

// Area is the signed area of the polygon in mm2: positive when counter-clockwise.
func (p Polygon) Area() float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += float64(a[0]*b[1]) - float64(b[0]*a[1])
	}
	return sum / 2
}

// turned returns the polygon in the direction asked for.
func (p Polygon) turned(counterClockwise bool) Polygon {
	if (p.Area() > 0) == counterClockwise {
		return p
	}
	back := make(Polygon, len(p))
	for i := range p {
		back[len(p)-1-i] = p[i]
	}
	return back
}

// cross is twice the signed area of the triangle a b c.
func cross(a, b, c [2]float64) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}

// triangulate cuts a polygon with holes into triangles by clipping ears, each hole
// first joined to the outline by a bridge walked in both directions. It is meant for
// outlines of a few hundred corners: it always clips the best-shaped ear left, at
// cubic cost.
func triangulate(outer Polygon, holes []Polygon) [][3][2]float64 {
	refuseCrossing(append([]Polygon{outer}, holes...))
	ring := append(Polygon(nil), outer.turned(true)...)
	left := make([]Polygon, len(holes))
	for i, h := range holes {
		left[i] = h.turned(false)
	}
	// Nearest to the right first: a bridge then rarely has to pass another hole.
	sort.SliceStable(left, func(i, j int) bool { return rightmost(left[i]) > rightmost(left[j]) })
	for i, h := range left {
		ring = bridge(ring, h, left[i+1:])
	}
	var out [][3][2]float64
	for len(ring) > 3 {
		i := bestEar(ring)
		a, b, c := around(ring, i)
		out = append(out, [3][2]float64{a, b, c})
		ring = append(ring[:i], ring[i+1:]...)
	}
	return append(out, [3][2]float64{ring[0], ring[1], ring[2]})
}

func rightmost(p Polygon) float64 {
	x := math.Inf(-1)
	for _, c := range p {
		x = max(x, c[0])
	}
	return x
}

// around returns corner i of the ring between its neighbours.
func around(ring Polygon, i int) (before, at, after [2]float64) {
	n := len(ring)
	return ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
}

// bridge splices the hole into the ring over the shortest clear connection.
func bridge(ring, hole Polygon, others []Polygon) Polygon {
	best, at, from := math.Inf(1), -1, -1
	for i, a := range ring {
		for j, b := range hole {
			d := math.Hypot(a[0]-b[0], a[1]-b[1])
			if d < best && opensTo(ring, i, b) && clear(a, b, ring, hole, others) {
				best, at, from = d, i, j
			}
		}
	}
	if at < 0 {
		panic(fmt.Sprintf("shapes: the hole at %v does not lie inside its outline", hole[0]))
	}
	joined := append(Polygon(nil), ring[:at+1]...)
	joined = append(joined, hole[from:]...)
	joined = append(joined, hole[:from+1]...)
	return append(joined, ring[at:]...)
}

// opensTo tells whether p lies within the inner angle of the ring at corner i.
func opensTo(ring Polygon, i int, p [2]float64) bool {
	a, b, c := around(ring, i)
	if cross(a, b, c) > 0 {
		return cross(a, b, p) > 0 && cross(b, c, p) > 0
	}
	return cross(a, b, p) > 0 || cross(b, c, p) > 0
}

// clear tells whether the segment a b meets no edge, its own ends excepted.
func clear(a, b [2]float64, ring, hole Polygon, others []Polygon) bool {
	for _, p := range append([]Polygon{ring, hole}, others...) {
		for i, c := range p {
			d := p[(i+1)%len(p)]
			if c == a || c == b || d == a || d == b {
				if (c != a && c != b && within(a, b, c)) || (d != a && d != b && within(a, b, d)) {
					return false
				}
				continue
			}
			if meet(a, b, c, d) {
				return false
			}
		}
	}
	return true
}

// meet tells whether the segments a b and c d have a point in common.
func meet(a, b, c, d [2]float64) bool {
	return cross(a, b, c)*cross(a, b, d) <= 0 && cross(c, d, a)*cross(c, d, b) <= 0 &&
		min(a[0], b[0]) <= max(c[0], d[0]) && min(c[0], d[0]) <= max(a[0], b[0]) &&
		min(a[1], b[1]) <= max(c[1], d[1]) && min(c[1], d[1]) <= max(a[1], b[1])
}

// refuseCrossing panics when edges that are not neighbours meet.
func refuseCrossing(rings []Polygon) {
	for r, p := range rings {
		for i, a := range p {
			b := p[(i+1)%len(p)]
			for _, q := range rings[r:] {
				for j, c := range q {
					d := q[(j+1)%len(q)]
					sameRing := &p[0] == &q[0]
					neighbours := sameRing && (j == i || j == (i+1)%len(p) || i == (j+1)%len(p))
					if !neighbours && meet(a, b, c, d) {
						panic(fmt.Sprintf("shapes: the edges %v to %v and %v to %v meet", a, b, c, d))
					}
				}
			}
		}
	}
}

// within tells whether p lies on the segment a b.
func within(a, b, p [2]float64) bool {
	return cross(a, b, p) == 0 &&
		p[0] >= min(a[0], b[0]) && p[0] <= max(a[0], b[0]) &&
		p[1] >= min(a[1], b[1]) && p[1] <= max(a[1], b[1])
}

// bestEar returns the ear with the widest smallest angle, so that caps of round
// bodies are not fans of slivers.
func bestEar(ring Polygon) int {
	best, at := 0.0, -1
	for i := range ring {
		a, b, c := around(ring, i)
		if q := fatness(a, b, c); q > best && empty(ring, a, b, c) {
			best, at = q, i
		}
	}
	if at < 0 {
		panic(fmt.Sprintf("shapes: the polygon crosses or touches itself near %v", ring[0]))
	}
	return at
}

// fatness is positive for a counter-clockwise triangle and largest for a regular
// one: the area over the sum of squared edges.
func fatness(a, b, c [2]float64) float64 {
	edges := 0.0
	for _, e := range [3][2][2]float64{{a, b}, {b, c}, {c, a}} {
		edges += math.Pow(math.Hypot(e[0][0]-e[1][0], e[0][1]-e[1][1]), 2)
	}
	return cross(a, b, c) / edges
}

// empty tells whether no other corner of the ring lies in or on the triangle.
func empty(ring Polygon, a, b, c [2]float64) bool {
	for _, p := range ring {
		if p == a || p == b || p == c {
			continue
		}
		if cross(a, b, p) >= 0 && cross(b, c, p) >= 0 && cross(c, a, p) >= 0 {
			return false
		}
	}
	return true
}
