package spatial

import (
	"cmp"
	"slices"

	"printlint/internal/mesh"
)

// Hits appends everything that the ray meets between tmin and tmax to buf, in the order
// along the ray and then of triangle numbers. A ray through an edge or corner meets
// the surface there once, as if it had been moved aside by a hair: first along one
// axis across the ray, then by far less along the other.
func (t *Tree) Hits(origin, dir mesh.Vec, tmin, tmax float64, buf []RayHit) []RayHit {
	q := Query{Tree: t}
	return q.Hits(origin, dir, tmin, tmax, buf)
}

// Hits is Hits of the tree.
func (q *Query) Hits(origin, dir mesh.Vec, tmin, tmax float64, buf []RayHit) []RayHit {
	start := len(buf)
	buf = q.collect(origin, dir, tmin, tmax, buf)
	slices.SortFunc(buf[start:], func(a, b RayHit) int {
		return cmp.Or(cmp.Compare(a.T, b.T), cmp.Compare(a.Tri, b.Tri))
	})
	return buf
}

// hitCost is what a hit costs to note and sort, in units of work.
const hitCost = 60

// collect appends hits in no order.
func (q *Query) collect(origin, dir mesh.Vec, tmin, tmax float64, buf []RayHit) []RayHit {
	t := q.Tree
	tmin = max(tmin, 0)
	shift := 0.0
	if t.far(origin) {
		var ok bool
		if shift, ok = t.approach(origin, dir); !ok {
			return buf
		}
		origin = origin.Add(dir.Scale(shift))
		tmin, tmax = max(tmin-shift, 0), tmax-shift
	}
	r := newRay(origin, dir)
	start, nodes, tris := len(buf), int64(0), int64(0)
	first, limit := bits32(tmin, -1), bits32(tmax*wider, 1)
	var stack [maxDepth]int32
	stack[0] = t.root
	for top := 1; top > 0 && len(t.tri) > 0; {
		top--
		child := stack[top]
		for child >= 0 {
			nodes++
			n := &t.nodes[child]
			l, rt := r.enter(n, first, limit)
			if l == missed && rt == missed {
				break
			}
			child = n.child[0]
			if l == missed {
				child = n.child[1]
			} else if rt != missed {
				stack[top] = n.child[1]
				top++
			}
		}
		if child >= 0 {
			continue
		}
		a, b := leafRange(child)
		tris += int64(b - a)
		for i := a; i < b; i++ {
			if at, side := r.meetOnce(&t.corners[i]); side != 0 && at >= tmin && at <= tmax {
				buf = append(buf, RayHit{T: at + shift, Tri: t.tri[i], Into: side > 0})
			}
		}
	}
	q.Cost += nodes*nodeCost + tris*triCost + int64(len(buf)-start)*hitCost
	return buf
}

// meetOnce is meet for a ray moved aside by a hair, so that of the triangles around an
// edge or corner in the way, just those count that a ray beside it would meet.
func (r *ray) meetOnce(c *[9]float32) (float64, int) {
	at, side := r.meet(c)
	if side == 0 {
		return 0, 0
	}
	p := r.across(c, 0)
	q := r.across(c, 3)
	s := r.across(c, 6)
	if passes(s, q) == -side || passes(p, s) == -side || passes(q, p) == -side {
		return 0, 0
	}
	return at, side
}

// across is where a corner lies beside the ray, the same numbers as in meet.
func (r *ray) across(c *[9]float32, i int) [2]float64 {
	o := &r.origin
	z := float64(c[i+r.kz]) - o[r.kz]
	return [2]float64{
		float64(c[i+r.kx]) - o[r.kx] - float64(r.sx*z),
		float64(c[i+r.ky]) - o[r.ky] - float64(r.sy*z),
	}
}

// passes says on which side of the edge from p to q the ray passes, once it has been
// moved by e along the first axis and by e squared along the second: then the cross
// product of both ends grows by e (p.y - q.y) + e^2 (q.x - p.x).
func passes(p, q [2]float64) int {
	x := float64(p[0]*q[1]) - float64(p[1]*q[0])
	return cmp.Or(cmp.Compare(x, 0), cmp.Compare(p[1], q[1]), cmp.Compare(q[0], p[0]))
}

// Winding returns how often the surface winds around a point, judged along one
// direction: 0 outside, 1 inside one closed shell that faces outward, -1 inside one
// that faces inward. It is the same for every direction where the surface is closed.
func (t *Tree) Winding(p, dir mesh.Vec) int {
	if t.box.misses(p, dir) {
		return 0
	}
	var buf [32]RayHit
	q := Query{Tree: t, hits: buf[:0]}
	return q.Winding(p, dir)
}

// Winding is Winding of the tree.
func (q *Query) Winding(p, dir mesh.Vec) int {
	if q.box.misses(p, dir) {
		return 0
	}
	return -q.passed(p, dir, maxReach)
}

// Step returns how much more often the surface winds around a point than around
// another, and whether that is sure: not where one of them lies on the surface, or
// nearer to it than a millionth of the way. The surface must be closed.
func (q *Query) Step(from, to mesh.Vec) (more int, sure bool) {
	const near = 1e-6 // of the way
	more = q.passed(from, to.Sub(from), 1+near)
	for i := range q.hits {
		if t := q.hits[i].T; t < near || t > 1-near {
			return 0, false
		}
	}
	return more, true
}

// passed counts how often a ray up to tmax runs into what the surface encloses, less how
// often out of it.
func (q *Query) passed(p, dir mesh.Vec, tmax float64) (n int) {
	q.hits = q.collect(p, dir, 0, tmax, q.hits[:0])
	for i := range q.hits {
		if q.hits[i].Into {
			n++
		} else {
			n--
		}
	}
	return n
}

// maxReach is farther than any two points a mesh of float32 corners can hold, for
// directions of about unit length.
const maxReach = 1e30

// misses says that a point lies beside or behind the box, seen along dir: a quick
// answer for points outside.
func (b *box32) misses(p, dir mesh.Vec) bool {
	q, d := [3]float64{p.X, p.Y, p.Z}, [3]float64{dir.X, dir.Y, dir.Z}
	for k := range 3 {
		if q[k] < float64(b.lo[k]) && d[k] <= 0 || q[k] > float64(b.hi[k]) && d[k] >= 0 {
			return true
		}
	}
	return false
}
