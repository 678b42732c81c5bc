package spatial

import (
	"math"

	"printlint/internal/mesh"
)

// Nearest returns the point of the surface nearest to p, the triangle it lies on (of
// several as near, the one with the lowest number) and how far it is. On a tree
// without triangles it returns mesh.None and an infinite distance.
func (t *Tree) Nearest(p mesh.Vec) (mesh.Vec, uint32, float64) {
	best, tri, at := math.Inf(1), mesh.None, mesh.Vec{}
	q := [3]float64{p.X, p.Y, p.Z}
	var stack [maxDepth]struct {
		child int32
		d2    float64
	}
	top := 0
	if len(t.tri) > 0 {
		stack[0].child = t.root
		top = 1
	}
	for top > 0 {
		top--
		child := stack[top].child
		if stack[top].d2 > best {
			continue
		}
		if child < 0 {
			a, b := leafRange(child)
			for i := a; i < b; i++ {
				c := NearestOnTriangle(p, t.corner(i, 0), t.corner(i, 3), t.corner(i, 6))
				d := c.Sub(p)
				if d2 := d.Dot(d); d2 < best || d2 == best && t.tri[i] < tri {
					best, tri, at = d2, t.tri[i], c
				}
			}
			continue
		}
		n := &t.nodes[child]
		l, r := n.away(&q, 0), n.away(&q, 1)
		near, far := n.child[0], n.child[1]
		if r < l {
			near, far, l, r = far, near, r, l
		}
		if r <= best {
			stack[top].child, stack[top].d2 = far, r
			top++
		}
		if l <= best {
			stack[top].child, stack[top].d2 = near, l
			top++
		}
	}
	return at, tri, math.Sqrt(best)
}

func (t *Tree) corner(i, k int) mesh.Vec {
	c := &t.corners[i]
	return mesh.Vec{X: float64(c[k]), Y: float64(c[k+1]), Z: float64(c[k+2])}
}

// away is the square of the distance from a point to the box of a child.
func (n *node) away(q *[3]float64, side int) float64 {
	sum := 0.0
	for k := range 3 {
		lo, hi := float64(n.box[k][side]), float64(n.box[k][2+side])
		if d := lo - q[k]; d > 0 {
			sum += float64(d * d)
		} else if d := q[k] - hi; d > 0 {
			sum += float64(d * d)
		}
	}
	return sum
}

// NearestOnTriangle finds which corner, side or the inside of the triangle p is
// nearest to (Ericson, Real-Time Collision Detection, 2005, 5.1.5).
func NearestOnTriangle(p, a, b, c mesh.Vec) mesh.Vec {
	ab, ac, ap := b.Sub(a), c.Sub(a), p.Sub(a)
	d1, d2 := ab.Dot(ap), ac.Dot(ap)
	if d1 <= 0 && d2 <= 0 {
		return a
	}
	bp := p.Sub(b)
	d3, d4 := ab.Dot(bp), ac.Dot(bp)
	if d3 >= 0 && d4 <= d3 {
		return b
	}
	cp := p.Sub(c)
	d5, d6 := ab.Dot(cp), ac.Dot(cp)
	if d6 >= 0 && d5 <= d6 {
		return c
	}
	vc := float64(d1*d4) - float64(d3*d2)
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		return a.Add(ab.Scale(share(d1, -d3)))
	}
	vb := float64(d5*d2) - float64(d1*d6)
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return a.Add(ac.Scale(share(d2, -d6)))
	}
	va := float64(d3*d6) - float64(d5*d4)
	if va <= 0 && d4 >= d3 && d5 >= d6 {
		return b.Add(c.Sub(b).Scale(share(d4-d3, d5-d6)))
	}
	sum := va + vb + vc
	if sum == 0 {
		return a
	}
	return a.Add(ab.Scale(vb / sum)).Add(ac.Scale(vc / sum))
}

// share is x out of x + y, and 0 when there is nothing to share.
func share(x, y float64) float64 {
	if x+y == 0 {
		return 0
	}
	return x / (x + y)
}
