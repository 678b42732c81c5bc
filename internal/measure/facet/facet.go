// Package facet tells which way triangles face and how they bend where they meet, for
// measures that look for shapes in the surface itself.
package facet

import (
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// Flat is the cosine of the bend up to which two triangles count as one flat face, 0.5 deg: a
// hole of 200 sides bends by 1.8 deg at each. Judgement, no source.
const Flat = 0.9999619230641713

// sliver is the height in mm up to which a triangle is too thin to tell where it faces: text
// files round to four decimals, which turns it by degrees. Judgement, no source.
const sliver = 0.002

// Faces are the triangles of a mesh with the way each of them faces.
type Faces struct {
	Mesh    *mesh.Mesh
	Topo    *mesh.Topology
	normals [][3]float32
	turned  []bool // by shell: wound inside out
}

// EachCost is what a triangle costs in work, about, as measured on large bodies.
const EachCost = 30

// Of works out where each triangle faces, outward where shells that are listed are wound
// inside out. A sliver faces as its neighbour along its longest side does; nowhere if that is
// a sliver too, as triangles that take no part.
func Of(m *mesh.Mesh, t *mesh.Topology, inverted []uint32) *Faces {
	f := &Faces{Mesh: m, Topo: t, normals: make([][3]float32, len(m.Tris)), turned: make([]bool, len(t.Shells))}
	for _, s := range inverted {
		f.turned[s] = true
	}
	var slivers []uint32 // their longest sides
	for i, s := range t.Shell {
		if s == mesh.None {
			continue
		}
		a, b, c := m.Corners(i)
		sides := [3]mesh.Vec{b.Sub(a), c.Sub(b), a.Sub(c)}
		n := sides[0].Cross(sides[1])
		double, longest, at := n.Len(), 0.0, 0
		for k := range sides {
			if d := sides[k].Dot(sides[k]); d > longest {
				longest, at = d, k
			}
		}
		if !(double > sliver*math.Sqrt(longest)) {
			slivers = append(slivers, uint32(3*i+at))
			continue
		}
		if n = n.Scale(1 / double); f.turned[s] {
			n = n.Scale(-1)
		}
		f.normals[i] = [3]float32{float32(n.X), float32(n.Y), float32(n.Z)}
	}
	for _, h := range slivers {
		if twin := t.Twin[h]; twin != mesh.None {
			f.normals[h/3] = f.normals[twin/3]
		}
	}
	return f
}

// Normal is where a triangle faces, of length 1; of length 0 where that cannot be told.
func (f *Faces) Normal(t uint32) mesh.Vec { return mesh.Of64(f.normals[t]) }

// Edge is the way from the start of a half-edge to its end, with what it encloses on the left
// as seen from outside.
func (f *Faces) Edge(h uint32) (from, way mesh.Vec) {
	a, b := f.Mesh.Ends(h)
	if f.turned[f.Topo.Shell[h/3]] {
		a, b = b, a
	}
	from = mesh.Of64(f.Mesh.Verts[a])
	return from, mesh.Of64(f.Mesh.Verts[b]).Sub(from)
}

// Bend is how two triangles meet along a half-edge and its twin: the cosine between where they
// face, and whether they make a valley.
func (f *Faces) Bend(h, twin uint32) (cos float64, valley bool) {
	n, o := f.Normal(h/3), f.Normal(twin/3)
	if cos = n.Dot(o); cos >= Flat {
		return cos, false
	}
	_, way := f.Edge(h)
	return cos, n.Cross(o).Dot(way) < 0
}

// Pieces calls what to do with each set of triangles that is wanted by its root, in the order
// of roots, each rising. Most of a surface is not wanted, and costs no memory.
func Pieces(sets geom.Sets[uint32], wanted func(root uint32) bool, do func(tris []uint32)) {
	var list []uint64 // root and triangle
	for t := range sets {
		if root := sets.Root(uint32(t)); wanted(root) {
			list = append(list, uint64(root)<<32|uint64(t))
		}
	}
	slices.Sort(list)
	tris := make([]uint32, len(list))
	from := 0
	for i, packed := range list {
		tris[i] = uint32(packed)
		if i+1 == len(list) || list[i+1]>>32 != packed>>32 {
			do(tris[from : i+1 : i+1])
			from = i + 1
		}
	}
}
