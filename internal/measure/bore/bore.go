// Package bore finds round holes: stretches of surface that bend around an axis, seen from
// the air, nearly all the way round. Lengths are mm.
//
// Triangles that meet flat or in a shallow valley hang together. Of each such piece it
// finds the axis that its normals stand square to and the circle that its corners lie on.
// Pieces of one hole that the mesh does not join are put together before it is judged
// whether they go round.
package bore

import (
	"math"

	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Hole is one round hole.
type Hole struct {
	At   mesh.Vec // on its axis, half way down
	Axis mesh.Vec // of length 1, either way
	// Diameter is that of the thickest pin that goes in: the circle within its wall.
	Diameter float64
	Depth    float64 // how far its wall goes along the axis
	Sides    int     // directions that the facets of its wall face
	Tris     []uint32
	Box      mesh.Box
}

const (
	// flat is the cosine of the bend up to which two triangles count as one facet, 0.5 deg:
	// a hole of 200 sides bends by 1.8 deg at each. Judgement, no source.
	flat = 0.9999619230641713
	// valley is the cosine of the bend up to which facets are parts of one wall, 61 deg: a
	// hexagon bends by 60 deg, a square by 90.
	valley = 0.48480962024633706
	// sliver is the height in mm up to which a triangle is too thin to face anywhere: text
	// files round to four decimals, which turns it by degrees. Judgement, no source.
	sliver = 0.002
	// eachCost is what a triangle costs in work, about, as measured on large bodies.
	eachCost = 100
)

// finder holds what a search works on.
type finder struct {
	mesh    *mesh.Mesh
	topo    *mesh.Topology
	turned  []bool // by shell: wound inside out
	normals [][3]float32
	bends   []int32 // by the root of a piece: valleys in it
	pieces  geom.Sets[uint32]
}

// Find returns the round holes of a mesh, in the order of their first triangles. Shells that
// are listed are wound inside out.
func Find(m *mesh.Mesh, t *mesh.Topology, inverted []uint32, tally *work.Tally) []Hole {
	if !tally.Add(eachCost * int64(len(m.Tris))) {
		return nil
	}
	f := &finder{mesh: m, topo: t, turned: make([]bool, len(t.Shells))}
	for _, s := range inverted {
		f.turned[s] = true
	}
	f.face()
	f.group()
	return f.join(f.arcs(), tally)
}

// face works out where each triangle faces; nowhere where it is a sliver or takes no part.
func (f *finder) face() {
	f.normals = make([][3]float32, len(f.mesh.Tris))
	for i, s := range f.topo.Shell {
		if s == mesh.None {
			continue
		}
		a, b, c := f.mesh.Corners(i)
		n := b.Sub(a).Cross(c.Sub(a))
		double := n.Len()
		longest := math.Sqrt(max(b.Sub(a).Dot(b.Sub(a)), c.Sub(b).Dot(c.Sub(b)), a.Sub(c).Dot(a.Sub(c))))
		if !(double > sliver*longest) {
			continue
		}
		if n = n.Scale(1 / double); f.turned[s] {
			n = n.Scale(-1)
		}
		f.normals[i] = [3]float32{float32(n.X), float32(n.Y), float32(n.Z)}
	}
}

func (f *finder) normal(t uint32) mesh.Vec { return mesh.Of64(f.normals[t]) }

// group joins triangles that meet flat or in a shallow valley.
func (f *finder) group() {
	f.pieces = make(geom.Sets[uint32], 0, len(f.mesh.Tris)).Grow(len(f.mesh.Tris))
	for h, twin := range f.topo.Twin {
		if twin == mesh.None || twin < uint32(h) {
			continue
		}
		if _, joined := f.bend(uint32(h), twin); joined {
			f.pieces.Join(uint32(h)/3, twin/3)
		}
	}
	f.bends = make([]int32, len(f.mesh.Tris))
	for h, twin := range f.topo.Twin {
		if twin == mesh.None || twin < uint32(h) {
			continue
		}
		if hollow, _ := f.bend(uint32(h), twin); hollow {
			f.bends[f.pieces.Root(uint32(h)/3)]++
		}
	}
}

// bend tells whether two half-edges meet in a shallow valley, and whether their triangles
// are parts of one wall: in a valley or flat.
func (f *finder) bend(h, twin uint32) (hollow, joined bool) {
	n, o := f.normal(h/3), f.normal(twin/3)
	cos := n.Dot(o)
	if cos < valley { // slivers, too: they face nowhere
		return false, false
	}
	if cos >= flat {
		return false, true
	}
	from, _ := f.mesh.Ends(h)
	tip := f.mesh.Tris[twin/3][(twin%3+2)%3]
	hollow = mesh.Of64(f.mesh.Verts[tip]).Sub(mesh.Of64(f.mesh.Verts[from])).Dot(n) > 0
	return hollow, hollow
}

// leastBends is how many valleys a piece of a round wall has at least: with fewer there are
// not three facets, and no circle.
const leastBends = 2

// arcs are the pieces that lie on a circle around an axis.
func (f *finder) arcs() (list []arc) {
	order, starts := f.pieces.Members()
	for k := range len(starts) - 1 {
		tris := order[starts[k]:starts[k+1]]
		if f.bends[tris[0]] < leastBends {
			continue
		}
		for _, axis := range f.axes(tris) {
			if a, ok := f.fit(tris, axis); ok && a.round >= leastArc {
				list = append(list, a)
				break
			}
		}
	}
	return list
}
