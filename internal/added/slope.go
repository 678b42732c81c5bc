// Package added makes the small solids that let a model print: a slope under an underside, a
// wall under a bridge, a plate under a foot, a face of a wall that lies farther out, what makes a
// pin thicker or its foot wider. Lengths are mm, heights are above the bed at z = 0.
package added

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// sink is how far an added solid reaches into what it is put against, so that the two are
// one body in every layer.
const sink = 0.02

// steepest is the angle from vertical up to which a wall beside an underside counts as a
// wall, and past which a face is part of the underside.
const steepest = 45.5

// mostPieces bounds the triangles of an underside that is cut finely to follow a slope.
const mostPieces = 4000

// Slope is a solid that fills the corner between an underside and what holds it.
type Slope struct {
	Solid *mesh.Triangles
	Reach float64 // from what holds the underside to its farthest point
}

// Under fills the corner under the underside that the seeds are part of, with a slope at
// that many degrees from vertical. An underside between two walls becomes an arch. The slope ends
// where no more than left, in mm, lies farther from what holds it. It is nil where nothing below its edge holds it, where a hole goes up through it, since that may be
// where a screw or a shaft sits, and where it is too large.
func Under(m *mesh.Mesh, t *mesh.Topology, seeds []uint32, degrees, left float64) *Slope {
	u := newUnderside(m, t, seeds)
	if u == nil || len(u.held) == 0 || u.pierced(t) {
		return nil
	}
	pieces := u.pieces()
	if pieces == nil {
		return nil
	}
	s := &Slope{}
	depth := map[mesh.Vec]float64{}
	for _, p := range pieces {
		for _, v := range p {
			if _, known := depth[v]; !known {
				depth[v] = u.distance(v)
				s.Reach = max(s.Reach, depth[v])
			}
		}
	}
	pieces = slices.DeleteFunc(pieces, func(p [3]mesh.Vec) bool {
		return min(depth[p[0]], depth[p[1]], depth[p[2]]) >= s.Reach-left
	})
	if len(pieces) == 0 {
		return nil
	}
	slant := math.Tan(degrees * math.Pi / 180)
	for v, d := range depth {
		depth[v] = min(max(0, float64((s.Reach-left-d)/slant)), v.Z)
	}
	raised := func(v mesh.Vec) mesh.Vec { return mesh.Vec{X: v.X, Y: v.Y, Z: v.Z + sink} }
	s.Solid = between(pieces, func(v mesh.Vec) mesh.Vec { return mesh.Vec{X: v.X, Y: v.Y, Z: v.Z - depth[v]} }, raised)
	return s
}

// underside is a part of the surface that looks down, flatter than any wall.
type underside struct {
	mesh *mesh.Mesh
	tris []uint32
	held [][2]mesh.Vec // its edges at which the surface goes on downwards
	area float64
}

// newUnderside gathers what hangs together with the seeds; nil where no seed looks down.
func newUnderside(m *mesh.Mesh, t *mesh.Topology, seeds []uint32) *underside {
	sine := math.Sin(steepest * math.Pi / 180)
	down := func(i uint32) bool {
		n := m.Normal(int(i))
		return -n.Z > sine*n.Len()
	}
	u := &underside{mesh: m}
	in := make([]bool, len(m.Tris))
	take := func(i uint32) {
		if !in[i] && down(i) {
			in[i] = true
			u.tris = append(u.tris, i)
		}
	}
	for _, s := range seeds {
		take(s)
	}
	for k := 0; k < len(u.tris); k++ {
		for side := range uint32(3) {
			if twin := t.Twin[3*u.tris[k]+side]; twin != mesh.None {
				take(twin / 3)
			}
		}
	}
	for _, i := range u.tris {
		u.area += m.Normal(int(i)).Len() / 2
		for side := range uint32(3) {
			h := 3*i + side
			if twin := t.Twin[h]; twin == mesh.None || in[twin/3] || !u.goesDown(twin) {
				continue
			}
			from, to := m.Ends(h)
			u.held = append(u.held, [2]mesh.Vec{mesh.Of64(m.Verts[from]), mesh.Of64(m.Verts[to])})
		}
	}
	if len(u.tris) == 0 {
		return nil
	}
	return u
}

// goesDown says that the triangle of a half-edge reaches below it.
func (u *underside) goesDown(h uint32) bool {
	from, to := u.mesh.Ends(h)
	third := u.mesh.Tris[h/3][(h%3+2)%3]
	z := func(v uint32) float64 { return float64(u.mesh.Verts[v][2]) }
	return z(third) < min(z(from), z(to))-sink
}

// distance is how far a point is from what holds the underside, seen from above.
func (u *underside) distance(p mesh.Vec) float64 {
	least := math.Inf(1)
	for _, e := range u.held {
		dx, dy := e[1].X-e[0].X, e[1].Y-e[0].Y
		along := 0.0
		if square := float64(dx*dx) + float64(dy*dy); square > 0 {
			along = min(max((float64((p.X-e[0].X)*dx)+float64((p.Y-e[0].Y)*dy))/square, 0), 1)
		}
		least = min(least, math.Hypot(p.X-e[0].X-float64(along*dx), p.Y-e[0].Y-float64(along*dy)))
	}
	return least
}

// pieces cuts the triangles until no edge is longer than a step; both triangles beside an
// edge cut it alike. It is nil where they would be too many.
func (u *underside) pieces() [][3]mesh.Vec {
	step := max(1, math.Sqrt(8*u.area/mostPieces))
	var list, open [][3]mesh.Vec
	for _, i := range u.tris {
		a, b, c := u.mesh.Corners(int(i))
		open = append(open, [3]mesh.Vec{a, b, c})
	}
	for len(open) > 0 {
		if len(list)+len(open) > mostPieces {
			return nil
		}
		p := open[len(open)-1]
		open = open[:len(open)-1]
		long, at := 0.0, 0
		for k := range p {
			if l := p[(k+1)%3].Sub(p[k]).Len(); l > long {
				long, at = l, k
			}
		}
		if long <= step {
			list = append(list, p)
			continue
		}
		a, b, c := p[at], p[(at+1)%3], p[(at+2)%3]
		m := middle(a, b)
		open = append(open, [3]mesh.Vec{a, m, c}, [3]mesh.Vec{m, b, c})
	}
	return list
}

// middle is the same point whichever end comes first.
func middle(a, b mesh.Vec) mesh.Vec { return a.Add(b).Scale(0.5) }

// between is the solid between two copies of a surface, in which each point is moved: the front
// one looks where the surface does.
func between(pieces [][3]mesh.Vec, front, back func(mesh.Vec) mesh.Vec) *mesh.Triangles {
	out := &mesh.Triangles{}
	add := func(corners ...mesh.Vec) {
		for _, v := range corners {
			out.Corners = append(out.Corners, mesh.Of32(v))
		}
	}
	inner := map[[2]mesh.Vec]bool{}
	for _, p := range pieces {
		for k := range p {
			inner[[2]mesh.Vec{p[k], p[(k+1)%3]}] = true
		}
	}
	for _, p := range pieces {
		add(front(p[0]), front(p[1]), front(p[2]))
		add(back(p[0]), back(p[2]), back(p[1]))
		for k := range p {
			a, b := p[k], p[(k+1)%3]
			if !inner[[2]mesh.Vec{b, a}] {
				add(front(b), front(a), back(a))
				add(front(b), back(a), back(b))
			}
		}
	}
	return out
}
