package added

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// A face ends where the surface bends by more than 30 degrees from one triangle to the next:
// the cosine of that. Where it comes round to the other side of a wall, it ends where it has
// turned by 60 degrees. Judgement, no source.
const (
	smooth   = 0.866
	halfTurn = 0.5
)

// oneWay is the length of the mean of where all of a face looks, from which it looks one way.
const oneWay = 0.9

// mostFace bounds the triangles of a face.
const mostFace = 20000

// anyWay is less than any cosine.
const anyWay = -2.0

// Face is a part of a surface without a sharp bend.
type Face struct {
	mesh    *mesh.Mesh
	tris    []uint32
	normals []mesh.Vec // of the triangles, of length 1
	corners map[mesh.Vec]*corner
	around  *Face   // the smooth surface that it is part of, nil where that is too large
	Area    float64 // mm2
}

// corner is how a corner of a face moves.
type corner struct {
	vert     uint32
	out      mesh.Vec // where the face looks, of length 1
	flattest float64  // cosine of how far a triangle beside it looks elsewhere, at most
	into     mesh.Vec // sum of the normals of what rises beside the face, turned round
}

// FaceAt is the face that a triangle is part of, as far as its triangles come into a box, and
// round the corners of it as far as others go on there, such as those of all four walls of a box.
// Another triangle lies on the far side of the wall, and is no part of it; mesh.None where there
// is none. It is nil where the face is too large.
func FaceAt(m *mesh.Mesh, t *mesh.Topology, seed, far uint32, box mesh.Box, others []uint32) *Face {
	in := make([]bool, len(m.Tris))
	f := gather(m, t, seed, anyWay, box, in)
	if f != nil && f.Has(far) {
		f = gather(m, t, seed, halfTurn, box, in)
	} else if f != nil {
		f.roundCorners(t, box, far, others, in)
	}
	if f == nil || f.Has(far) {
		return nil
	}
	f.bend(t)
	f.around = gather(m, t, seed, anyWay, m.Box(), in)
	return f
}

// roundCorners takes in the faces beside that others are part of, and those beside these.
func (f *Face) roundCorners(t *mesh.Topology, box mesh.Box, far uint32, others []uint32, in []bool) {
	seen := make([]bool, len(f.mesh.Tris))
	see := func(tris []uint32) {
		for _, i := range tris {
			seen[i] = true
		}
	}
	see(f.tris)
	for k := 0; k < len(f.tris) && len(others) > 0; k++ {
		for side := range uint32(3) {
			twin := t.Twin[3*f.tris[k]+side]
			if twin == mesh.None || seen[twin/3] || !comesInto(f.mesh, twin/3, &box) {
				continue
			}
			see([]uint32{twin / 3})
			g := gather(f.mesh, t, twin/3, anyWay, box, in)
			if g == nil {
				continue
			}
			see(g.tris)
			if slices.ContainsFunc(others, g.Has) && !g.Has(far) && len(f.tris)+len(g.tris) <= mostFace {
				f.tris, f.normals, f.Area = append(f.tris, g.tris...), append(f.normals, g.normals...), f.Area+g.Area
			}
		}
	}
}

// gather follows the surface from a triangle as long as it bends little, and looks no farther
// from where the first one does than by the cosine given. It marks what it takes, and takes the
// marks off again: many faces are gathered of one large mesh.
func gather(m *mesh.Mesh, t *mesh.Topology, seed uint32, least float64, box mesh.Box, in []bool) *Face {
	f := &Face{mesh: m}
	defer func() {
		for _, i := range f.tris {
			in[i] = false
		}
	}()
	first := m.Normal(int(seed)).Unit()
	take := func(i uint32, n mesh.Vec) {
		in[i] = true
		f.tris, f.normals = append(f.tris, i), append(f.normals, n)
		f.Area += m.Normal(int(i)).Len() / 2
	}
	take(seed, first)
	for k := 0; k < len(f.tris); k++ {
		for side := range uint32(3) {
			twin := t.Twin[3*f.tris[k]+side]
			if twin == mesh.None || in[twin/3] || !comesInto(m, twin/3, &box) {
				continue
			}
			if n := m.Normal(int(twin / 3)).Unit(); n.Dot(f.normals[k]) >= smooth && n.Dot(first) >= least {
				take(twin/3, n)
			}
		}
		if len(f.tris) > mostFace {
			return nil
		}
	}
	return f
}

// comesInto says that the box of a triangle meets another.
func comesInto(m *mesh.Mesh, tri uint32, box *mesh.Box) bool {
	a, b, c := m.Corners(int(tri))
	own := mesh.EmptyBox()
	own.Include(a)
	own.Include(b)
	own.Include(c)
	return own.Meets(box, 0)
}

// Has says that a triangle is part of the face.
func (f *Face) Has(tri uint32) bool { return slices.Contains(f.tris, tri) }

// bend finds where each corner moves when the face grows, and what rises beside the face there.
func (f *Face) bend(t *mesh.Topology) {
	f.corners = make(map[mesh.Vec]*corner, len(f.tris))
	in := make(map[uint32]bool, len(f.tris))
	for k, i := range f.tris {
		in[i] = true
		p := f.at(i)
		for side, v := range p {
			if f.corners[v] == nil {
				f.corners[v] = &corner{vert: f.mesh.Tris[i][side], flattest: 1}
			}
			to, from := p[(side+1)%3].Sub(v).Unit(), p[(side+2)%3].Sub(v).Unit()
			angle := math.Acos(min(max(to.Dot(from), -1), 1))
			f.corners[v].out = f.corners[v].out.Add(f.normals[k].Scale(angle))
		}
	}
	for _, c := range f.corners {
		c.out = c.out.Unit()
	}
	for k, i := range f.tris {
		for side, v := range f.at(i) {
			c := f.corners[v]
			c.flattest = min(c.flattest, c.out.Dot(f.normals[k]))
			if twin := t.Twin[3*i+uint32(side)]; twin != mesh.None && !in[twin/3] {
				f.beside(v, f.normals[k], twin)
			}
		}
	}
}

// beside takes down what rises beyond a side of the face that begins at a corner.
func (f *Face) beside(v, normal mesh.Vec, twin uint32) {
	third := mesh.Of64(f.mesh.Verts[f.mesh.Tris[twin/3][(twin%3+2)%3]])
	if third.Sub(v).Dot(normal) < sink {
		return
	}
	from, to := f.mesh.Ends(twin)
	n := f.mesh.Normal(int(twin / 3)).Unit()
	for _, end := range []uint32{from, to} {
		c := f.corners[mesh.Of64(f.mesh.Verts[end])]
		c.into = c.into.Sub(n)
	}
}

// at are the corners of a triangle.
func (f *Face) at(tri uint32) (p [3]mesh.Vec) {
	p[0], p[1], p[2] = f.mesh.Corners(int(tri))
	return p
}

// Grown is the solid that makes the face lie so many mm farther out. It reaches a little into
// the face, and into what rises beside it; volume is what it holds beyond the face, in mm3. It is
// nil where the face is bent too much to grow so far.
func (f *Face) Grown(by float64) (solid *mesh.Triangles, volume float64) {
	var pieces [][3]mesh.Vec
	for k, i := range f.tris {
		p := f.at(i)
		a, b, c := f.moved(p[0], by), f.moved(p[1], by), f.moved(p[2], by)
		if b.Sub(a).Cross(c.Sub(a)).Dot(f.normals[k]) <= 0 {
			return nil, 0
		}
		pieces = append(pieces, p)
	}
	out := func(v mesh.Vec) mesh.Vec { return f.moved(v, by) }
	same := func(v mesh.Vec) mesh.Vec { return v }
	beyond := mesh.Weld(between(pieces, func(v mesh.Vec) mesh.Vec { return v.Add(f.corners[v].step(by)) }, same))
	return between(pieces, out, func(v mesh.Vec) mesh.Vec { return f.moved(v, -sink) }), beyond.Volume()
}

// Moves are the corners of the face, by their numbers in the mesh, with how far each moves where the
// face lies so many mm farther out.
func (f *Face) Moves(by float64) (list []Move) {
	for _, i := range f.tris {
		for _, v := range f.at(i) {
			c := f.corners[v]
			list = append(list, Move{c.vert, c.step(by)})
		}
	}
	slices.SortFunc(list, func(a, b Move) int { return cmp.Compare(a.Vert, b.Vert) })
	return slices.CompactFunc(list, func(a, b Move) bool { return a.Vert == b.Vert })
}

// Move is how far a corner of a mesh moves.
type Move struct {
	Vert uint32
	By   mesh.Vec
}

// moved is where a corner goes.
func (f *Face) moved(v mesh.Vec, by float64) mesh.Vec {
	c := f.corners[v]
	return v.Add(c.step(by)).Add(c.into.Scale(sink))
}

// step is how far a corner moves so that the triangles beside it move by so much. Where they
// look far apart, it moves no farther than twice that.
func (c *corner) step(by float64) mesh.Vec { return c.out.Scale(by / max(c.flattest, halfTurn)) }

// Side is where the face looks: a direction of length 1, or, where it looks all around, no more
// than whether it is the outer side of what it goes around.
func (f *Face) Side() (to mesh.Vec, flat, outer bool) {
	var sum, middle mesh.Vec
	for k, i := range f.tris {
		area := f.mesh.Normal(int(i)).Len() / 2
		p := f.at(i)
		sum = sum.Add(f.normals[k].Scale(area))
		middle = middle.Add(p[0].Add(p[1]).Add(p[2]).Scale(area / 3))
	}
	middle = middle.Scale(1 / max(f.Area, math.SmallestNonzeroFloat64))
	away := 0.0
	for k, i := range f.tris {
		away += float64(f.normals[k].Dot(f.at(i)[0].Sub(middle)) * f.mesh.Normal(int(i)).Len())
	}
	return sum.Unit(), sum.Len() > oneWay*f.Area, away > 0
}

// Encloses says that the face is part of a surface around a hole that something may sit in: from
// one place another is seen near by.
func (f *Face) Encloses(q *spatial.Query) bool {
	for k := 0; k < len(f.tris); k += 1 + len(f.tris)/mostLooks {
		p := f.at(f.tris[k])
		middle := p[0].Add(p[1]).Add(p[2]).Scale(1. / 3)
		if hit, ok := q.RayPast(middle, f.normals[k], 0, widestHole, f.tris[k]); ok && f.around != nil && f.around.Has(hit.Tri) {
			return true
		}
	}
	return false
}

// lookedAt is how many points of a face are looked from at least, if it is as many mm2 large, and
// mostSide bounds those along a side of one triangle.
const (
	lookedAt = 2000
	mostSide = 60
)

// Blocked says that something that looks at the face is nearer to it than so many mm.
func (f *Face) Blocked(q *spatial.Query, within float64) bool {
	apart := max(1, math.Sqrt(f.Area/lookedAt))
	for k := 0; k < len(f.tris); k += 1 + len(f.tris)/lookedAt {
		p := f.at(f.tris[k])
		long := max(p[1].Sub(p[0]).Len(), p[2].Sub(p[1]).Len(), p[0].Sub(p[2]).Len())
		n := int(min(math.Ceil(long/apart), mostSide))
		for i := range n {
			for j := range n - i {
				u, v := (float64(i)+1./3)/float64(n), (float64(j)+1./3)/float64(n)
				at := p[0].Add(p[1].Sub(p[0]).Scale(u)).Add(p[2].Sub(p[0]).Scale(v))
				hit, ok := q.RayPast(at, f.normals[k], 0, within, f.tris[k])
				if ok && hit.Into && f.mesh.Normal(int(hit.Tri)).Unit().Dot(f.normals[k]) < -halfTurn {
					return true
				}
			}
		}
	}
	return false
}

// mostLooks is from how many places of a face its surroundings are looked at.
const mostLooks = 256
