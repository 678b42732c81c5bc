package spatial

import (
	"math"

	"printlint/internal/mesh"
)

// RayHit is where a ray meets a triangle.
type RayHit struct {
	// T is how far along the ray, in multiples of its direction.
	T float64
	// Tri is the triangle.
	Tri uint32
	// Into says that the ray meets the outer side of the triangle: it runs into what
	// the surface encloses.
	Into bool
}

// ray is prepared for the walk through the tree and for the exact test. The test is
// that of Woop, Benthin and Wald, Watertight ray/triangle intersection (2013): all
// corners are sheared so that the ray runs along an axis, and two triangles with a
// common edge compute that edge from the same numbers, so no ray slips between them.
type ray struct {
	origin     [3]float64
	kx, ky, kz int
	sx, sy, sz float64
	from32     [3]float32
	inverse32  [3]float32
	wider32    [3]float32 // inverse32 for the far ends of boxes
	low        [3]uint    // 0 where the ray runs upward, 2 where the sides change places
}

// wider makes the far end of a box test, and the limit it is held against, longer by
// what four roundings to float32 can take from either: 4 * 2^-24 each, twice.
const wider = 1 + 0x1p-20

// missed is above all bits of places along a ray.
const missed = math.MaxUint32

// infinity32 stands for one over a direction without any slope.
const infinity32 = 1e30

func newRay(origin, dir mesh.Vec) ray {
	d := [3]float64{dir.X, dir.Y, dir.Z}
	r := ray{origin: [3]float64{origin.X, origin.Y, origin.Z}}
	for k := range 3 {
		if math.Abs(d[k]) > math.Abs(d[r.kz]) {
			r.kz = k
		}
		r.from32[k] = float32(r.origin[k])
		r.inverse32[k] = float32(1 / d[k])
		if math.Abs(d[k]) < 1/infinity32 {
			r.inverse32[k] = float32(math.Copysign(infinity32, d[k]))
		}
		r.wider32[k] = float32(r.inverse32[k] * wider)
		if math.Signbit(d[k]) {
			r.low[k] = 2
		}
	}
	r.kx, r.ky = (r.kz+1)%3, (r.kz+2)%3
	if d[r.kz] < 0 {
		r.kx, r.ky = r.ky, r.kx
	}
	r.sx, r.sy, r.sz = d[r.kx]/d[r.kz], d[r.ky]/d[r.kz], 1/d[r.kz]
	return r
}

// enter tests both children of a node at once and returns where the ray enters them,
// as the bits of a float32, or missed. Floats that are not negative sort
// like their bits, and a negative one never wins against the start of the ray, so
// whole numbers do for the choice of the larger, which takes no branch.
func (r *ray) enter(n *node, tmin, tmax int32) (left, right uint32) {
	nearL, farL, nearR, farR := tmin, tmax, tmin, tmax
	s, low, from, inverse, far := &n.box[0], r.low[0], r.from32[0], r.inverse32[0], r.wider32[0]
	nearL = max(nearL, int32(math.Float32bits((s[low&3]-from)*inverse)))
	nearR = max(nearR, int32(math.Float32bits((s[(low^1)&3]-from)*inverse)))
	farL = min(farL, int32(math.Float32bits((s[(low^2)&3]-from)*far)))
	farR = min(farR, int32(math.Float32bits((s[(low^3)&3]-from)*far)))
	s, low, from, inverse, far = &n.box[1], r.low[1], r.from32[1], r.inverse32[1], r.wider32[1]
	nearL = max(nearL, int32(math.Float32bits((s[low&3]-from)*inverse)))
	nearR = max(nearR, int32(math.Float32bits((s[(low^1)&3]-from)*inverse)))
	farL = min(farL, int32(math.Float32bits((s[(low^2)&3]-from)*far)))
	farR = min(farR, int32(math.Float32bits((s[(low^3)&3]-from)*far)))
	s, low, from, inverse, far = &n.box[2], r.low[2], r.from32[2], r.inverse32[2], r.wider32[2]
	nearL = max(nearL, int32(math.Float32bits((s[low&3]-from)*inverse)))
	nearR = max(nearR, int32(math.Float32bits((s[(low^1)&3]-from)*inverse)))
	farL = min(farL, int32(math.Float32bits((s[(low^2)&3]-from)*far)))
	farR = min(farR, int32(math.Float32bits((s[(low^3)&3]-from)*far)))
	left, right = uint32(nearL), uint32(nearR)
	if nearL > farL {
		left = missed
	}
	if nearR > farR {
		right = missed
	}
	return left, right
}

// meet tests one triangle and returns where and from which side the ray meets it.
// The second result is 0 for a miss, 1 for the outer side, -1 for the inner one.
func (r *ray) meet(c *[9]float32) (float64, int) {
	o := &r.origin
	az, bz, cz := float64(c[r.kz])-o[r.kz], float64(c[3+r.kz])-o[r.kz], float64(c[6+r.kz])-o[r.kz]
	ax := float64(c[r.kx]) - o[r.kx] - float64(r.sx*az)
	ay := float64(c[r.ky]) - o[r.ky] - float64(r.sy*az)
	bx := float64(c[3+r.kx]) - o[r.kx] - float64(r.sx*bz)
	by := float64(c[3+r.ky]) - o[r.ky] - float64(r.sy*bz)
	cx := float64(c[6+r.kx]) - o[r.kx] - float64(r.sx*cz)
	cy := float64(c[6+r.ky]) - o[r.ky] - float64(r.sy*cz)
	u := float64(cx*by) - float64(cy*bx)
	v := float64(ax*cy) - float64(ay*cx)
	w := float64(bx*ay) - float64(by*ax)
	// Which way the ray passes each side is as good as chance, so all three are decided
	// at once: added to 0, for which -0 is 0 too, floats have the signs of their bits.
	x, y, z := int64(math.Float64bits(u+0)), int64(math.Float64bits(v+0)), int64(math.Float64bits(w+0))
	det := u + v + w
	if min(x, y, z)&-max(x, y, z) < 0 && !math.IsNaN(det) {
		return 0, 0
	}
	side := 1
	if u < 0 || v < 0 || w < 0 {
		side = -1
	}
	if det == 0 {
		return 0, 0
	}
	t := (float64(u*az) + float64(v*bz) + float64(w*cz)) * r.sz / det
	return t, side
}

// Query asks a tree and adds up what that costs, in units of work. It is for one
// goroutine.
type Query struct {
	*Tree
	Cost int64
	hits []RayHit // scratch
}

// What a step of a walk through the tree costs, in units of work: at a node, and at a
// triangle of a leaf. A ray in an ordinary mesh takes some twenty of one and eight of
// the other.
const (
	nodeCost = 15
	triCost  = 20
)

// Ray returns the first triangle that the ray meets between tmin and tmax, both
// included and not negative, and of several at the same place the one with the lowest
// number. A ray along the plane of a triangle does not meet it.
func (t *Tree) Ray(origin, dir mesh.Vec, tmin, tmax float64) (RayHit, bool) {
	return t.RayPast(origin, dir, tmin, tmax, mesh.None)
}

// RayPast is Ray for a ray that starts on a triangle, which it passes over.
func (t *Tree) RayPast(origin, dir mesh.Vec, tmin, tmax float64, past uint32) (RayHit, bool) {
	q := Query{Tree: t}
	return q.RayPast(origin, dir, tmin, tmax, past)
}

// RayPast is RayPast of the tree.
func (q *Query) RayPast(origin, dir mesh.Vec, tmin, tmax float64, past uint32) (RayHit, bool) {
	t := q.Tree
	if t.far(origin) {
		return q.rayFromFar(origin, dir, tmin, tmax, past)
	}
	r := newRay(origin, dir)
	best := RayHit{T: tmax, Tri: mesh.None}
	var stack [maxDepth]struct{ child, enter int32 }
	top := 0
	child := t.root
	tmin = max(tmin, 0)
	first, limit := bits32(tmin, -1), bits32(tmax*wider, 1)
	if len(t.tri) == 0 {
		return best, false
	}
	nodes, tris := int64(0), int64(0)
	for {
		if child >= 0 {
			nodes++
			n := &t.nodes[child]
			l, rt := r.enter(n, first, limit)
			near, far := n.child[0], n.child[1]
			if rt < l {
				near, far, l, rt = far, near, rt, l
			}
			if l != missed {
				child = near
				if rt != missed {
					stack[top].child, stack[top].enter = far, int32(rt)
					top++
				}
				continue
			}
		} else {
			a, b := leafRange(child)
			tris += int64(b - a)
			for i := a; i < b; i++ {
				at, side := r.meet(&t.corners[i])
				if side == 0 || at < tmin || at > best.T || t.tri[i] == past {
					continue
				}
				if at < best.T || t.tri[i] < best.Tri {
					best = RayHit{T: at, Tri: t.tri[i], Into: side > 0}
					limit = bits32(at*wider, 1)
				}
			}
		}
		for top > 0 && stack[top-1].enter > limit {
			top--
		}
		if top == 0 {
			break
		}
		top--
		child = stack[top].child
	}
	q.Cost += nodes*nodeCost + tris*triCost
	return best, best.Tri != mesh.None
}

// bits32 rounds a distance that is not negative to float32, downward or upward, and
// returns its bits.
func bits32(x float64, direction int) int32 {
	if x <= 0 {
		return 0
	}
	if x >= math.MaxFloat32 {
		return int32(math.Float32bits(math.MaxFloat32))
	}
	f := math.Float32bits(float32(x))
	if direction < 0 && f > 0 {
		f--
	} else if direction > 0 {
		f++
	}
	return int32(f)
}

// far says that a point is so far outside the mesh that the pads of the boxes do not
// cover its rounding to float32.
func (t *Tree) far(p mesh.Vec) bool {
	return max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) > 2*t.reach
}

// rayFromFar starts the ray anew where it comes near the mesh.
func (q *Query) rayFromFar(origin, dir mesh.Vec, tmin, tmax float64, past uint32) (RayHit, bool) {
	shift, ok := q.approach(origin, dir)
	if !ok {
		return RayHit{T: tmax, Tri: mesh.None}, false
	}
	hit, ok := q.RayPast(origin.Add(dir.Scale(shift)), dir, max(tmin-shift, 0), tmax-shift, past)
	hit.T += shift
	return hit, ok
}

// approach returns where a ray from afar enters the cube of 1.5 times the reach.
func (t *Tree) approach(origin, dir mesh.Vec) (float64, bool) {
	near, end := 0.0, math.Inf(1)
	o, d := [3]float64{origin.X, origin.Y, origin.Z}, [3]float64{dir.X, dir.Y, dir.Z}
	side := float64(1.5 * t.reach)
	for k := range 3 {
		if d[k] == 0 {
			if math.Abs(o[k]) > side {
				return 0, false
			}
			continue
		}
		a, b := (-side-o[k])/d[k], (side-o[k])/d[k]
		near, end = max(near, min(a, b)), min(end, max(a, b))
	}
	return near, near <= end
}
