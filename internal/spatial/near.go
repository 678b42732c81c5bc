package spatial

import "printlint/internal/mesh"

// Near hands over the triangles whose boxes come within d of a box, in the order of the
// tree, until use says that it has seen enough.
func (q *Query) Near(box mesh.Box, d float64, use func(tri uint32) bool) {
	t := q.Tree
	lo := [3]float64{box.Min.X - d, box.Min.Y - d, box.Min.Z - d}
	hi := [3]float64{box.Max.X + d, box.Max.Y + d, box.Max.Z + d}
	var stack [maxDepth]int32
	top := 0
	if len(t.tri) > 0 {
		stack[0], top = t.root, 1
	}
	for top > 0 {
		top--
		child := stack[top]
		if child < 0 {
			a, b := leafRange(child)
			for _, tri := range t.tri[a:b] {
				q.Cost += triCost
				if !use(tri) {
					return
				}
			}
			continue
		}
		q.Cost += nodeCost
		n := &t.nodes[child]
		for side := 1; side >= 0; side-- {
			if n.meets(&lo, &hi, side) {
				stack[top] = n.child[side]
				top++
			}
		}
	}
}

// meets says that the box of a child and another box have a point in common.
func (n *node) meets(lo, hi *[3]float64, side int) bool {
	for k := range 3 {
		if float64(n.box[k][side]) > hi[k] || float64(n.box[k][2+side]) < lo[k] {
			return false
		}
	}
	return true
}

// Within says that two triangles have points no farther apart than d: a corner and a point of
// the other triangle, or a point on an edge of each, unless an edge of one runs through the other.
func Within(p, q *[3]mesh.Vec, d float64) bool {
	return cornersWithin(p, q, d) || cornersWithin(q, p, d) || edgesWithin(p, q, d) || pierces(p, q) || pierces(q, p)
}

func cornersWithin(p, q *[3]mesh.Vec, d float64) bool {
	for _, v := range p {
		if w := NearestOnTriangle(v, q[0], q[1], q[2]).Sub(v); w.Dot(w) <= d*d {
			return true
		}
	}
	return false
}

func edgesWithin(p, q *[3]mesh.Vec, d float64) bool {
	for i := range p {
		for j := range q {
			if w := between(p[i], p[(i+1)%3], q[j], q[(j+1)%3]); w.Dot(w) <= d*d {
				return true
			}
		}
	}
	return false
}

// between is the way from the nearest point of the segment ab to that of cd (Ericson,
// Real-Time Collision Detection, 2005, 5.1.9).
func between(a, b, c, d mesh.Vec) mesh.Vec {
	u, v, r := b.Sub(a), d.Sub(c), a.Sub(c)
	uu, vv, uv, ur, vr := u.Dot(u), v.Dot(v), u.Dot(v), u.Dot(r), v.Dot(r)
	s := 0.0
	if area := float64(uu*vv) - float64(uv*uv); area > 0 {
		s = clamp((float64(uv*vr) - float64(ur*vv)) / area)
	}
	t := 0.0
	if vv > 0 {
		t = (float64(uv*s) + vr) / vv
	}
	if (t < 0 || t > 1) && uu > 0 {
		t = clamp(t)
		s = clamp((float64(uv*t) - ur) / uu)
	}
	return c.Add(v.Scale(clamp(t))).Sub(a.Add(u.Scale(s)))
}

func clamp(x float64) float64 { return max(0, min(1, x)) }

// pierces says that an edge of p runs through the inside of q.
func pierces(p, q *[3]mesh.Vec) bool {
	n := q[1].Sub(q[0]).Cross(q[2].Sub(q[0]))
	for i := range p {
		a, b := p[i], p[(i+1)%3]
		da, db := n.Dot(a.Sub(q[0])), n.Dot(b.Sub(q[0]))
		if da == db || (da > 0) == (db > 0) {
			continue
		}
		at := a.Add(b.Sub(a).Scale(da / (da - db)))
		inside := true
		for j := range q {
			inside = inside && n.Dot(q[(j+1)%3].Sub(q[j]).Cross(at.Sub(q[j]))) >= 0
		}
		if inside {
			return true
		}
	}
	return false
}
