// Package bore finds round holes: stretches of surface that bend around an axis, seen from
// the air, nearly all the way round. Lengths are mm.
//
// Triangles that meet flat or in a shallow valley hang together. Of each such piece it
// finds the axis that its normals stand square to and the circle that its corners lie on.
// Pieces of one hole that the mesh does not join are put together before it is judged
// whether they go round. Where a point or a flat takes the place of some of the circle, the
// circle is that of the round part, and other walls must close the rest.
package bore

import (
	"printlint/internal/geom"
	"printlint/internal/measure/facet"
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
	Full     bool    // round nearly all the way round, with nothing else to close it
	Tris     []uint32
	Box      mesh.Box
}

// shallow is the cosine of the bend up to which facets are parts of one wall, 61 deg: a hexagon
// bends by 60 deg, a square by 90.
const shallow = 0.48480962024633706

// eachCost is what a triangle costs in work, about, as measured on large bodies.
const eachCost = 70

// finder holds what a search works on.
type finder struct {
	*facet.Faces
	bends  []int32 // by the root of a piece: valleys in it
	pieces geom.Sets[uint32]
	seen   []int32 // by triangle: the last walk that came by
	walks  int32
	tally  *work.Tally
}

// Find returns the round holes of a surface, in the order of their first triangles.
func Find(faces *facet.Faces, tally *work.Tally) []Hole {
	if !tally.Add(eachCost * int64(len(faces.Mesh.Tris))) {
		return nil
	}
	f := &finder{Faces: faces, tally: tally}
	f.group()
	return f.join(f.arcs())
}

// group joins triangles that meet flat or in a shallow valley, and counts the valleys.
func (f *finder) group() {
	f.pieces = make(geom.Sets[uint32], 0, len(f.Mesh.Tris)).Grow(len(f.Mesh.Tris))
	f.bends = make([]int32, len(f.Mesh.Tris))
	for h, twin := range f.Topo.Twin {
		if twin == mesh.None || twin < uint32(h) {
			continue
		}
		hollow, joined := f.meet(uint32(h), twin)
		if joined {
			f.pieces.Join(uint32(h)/3, twin/3)
		}
		if hollow {
			f.bends[h/3]++
		}
	}
	for t, n := range f.bends {
		if root := f.pieces.Root(uint32(t)); root != uint32(t) {
			f.bends[root] += n
		}
	}
}

// meet tells whether two half-edges meet in a shallow valley, and whether their triangles are
// parts of one wall: in a valley or flat.
func (f *finder) meet(h, twin uint32) (hollow, joined bool) {
	cos, valley := f.Bend(h, twin)
	hollow = valley && cos > shallow
	return hollow, hollow || cos >= facet.Flat
}

// leastBends is how many valleys a piece of a round wall has at least: with fewer there are
// not three facets, and no circle.
const leastBends = 2

// arcs are the pieces that lie on a circle around an axis.
func (f *finder) arcs() (list []arc) {
	facet.Pieces(f.pieces, func(root uint32) bool { return f.bends[root] >= leastBends }, func(tris []uint32) {
		for _, axis := range f.axes(tris) {
			if a, ok := f.fit(tris, axis, true); ok && a.round >= leastArc {
				list = append(list, a)
				break
			}
		}
	})
	return list
}
