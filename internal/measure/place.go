package measure

import (
	"math"

	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// nameTriangles makes the triangle nearest to its point the first of each site: reports
// name it. Of several as near it is the one that the measure gave first. Triangles that
// fill holes are given as those of the file beside them, and no more than MaxTris are kept.
func (r *evaluation) nameTriangles(sites []Site) {
	own := func(t uint32) uint32 { return t }
	if whole := r.body.whole.value; whole != nil {
		own = whole.Original
	}
	for i := range sites {
		s := &sites[i]
		named, least := mesh.None, math.Inf(1)
		for _, t := range s.Tris {
			a, b, c := r.body.Mesh.Corners(int(own(t)))
			d := spatial.NearestOnTriangle(s.At, a, b, c).Sub(s.At)
			if d2 := d.Dot(d); d2 < least {
				named, least = own(t), d2
			}
		}
		if named == mesh.None {
			continue
		}
		list := append(make([]uint32, 0, min(len(s.Tris), MaxTris)), named)
		for _, t := range s.Tris {
			if t = own(t); t != named && len(list) < MaxTris {
				list = append(list, t)
			}
		}
		s.Tris = list
	}
}

// pin gives each site the triangle nearest to its point.
func (r *evaluation) pin(sites []Site) error {
	if len(sites) == 0 {
		return nil
	}
	tree, err := r.search()
	if err != nil {
		return err
	}
	for i := range sites {
		_, tri, _ := tree.Nearest(sites[i].At)
		sites[i].Tris = []uint32{tri}
	}
	return nil
}

// underside finds the surface under a cell of layer k that the layer below has not, and the
// triangle there: between the two cuts the surface is met from below. Where none is, as in
// a hole that was mended, the point stays and the triangle is the nearest. The point is
// above the bed, at the middle of the cell.
func (s *stack) underside(at mesh.Vec, k int) (mesh.Vec, uint32, error) {
	tree, err := s.search()
	if err != nil {
		return at, mesh.None, err
	}
	const slack = 1e-3 // of a layer: the surface is stored in single precision
	from, room := at, s.grid.Height*(1+2*slack)
	from.Z = s.grid.CutZ(k-1) - float64(slack*s.grid.Height)
	up := mesh.Vec{X: s.place.M[6], Y: s.place.M[7], Z: s.place.M[8]}
	q := spatial.Query{Tree: tree}
	hit, ok := q.RayPast(s.place.Back(from), up, 0, room, mesh.None)
	if !ok {
		_, hit.Tri, _ = tree.Nearest(s.place.Back(at))
	} else {
		at.Z = from.Z + hit.T
	}
	return at, hit.Tri, work.Of(s.ctx).Spend(q.Cost)
}

// drop is the free height below a point of a triangle, down to the surface or the bed, where
// layers give about as much; else it is that of the layers, as where holes were mended.
func (s *stack) drop(at mesh.Vec, tri uint32, byLayers float64) (float64, error) {
	tree, err := s.search()
	if err != nil {
		return 0, err
	}
	down := mesh.Vec{X: -s.place.M[6], Y: -s.place.M[7], Z: -s.place.M[8]}
	q := spatial.Query{Tree: tree}
	exact := at.Z
	if hit, ok := q.RayPast(s.place.Back(at), down, 2*tree.Resolution(), at.Z, tri); ok {
		exact = hit.T
	}
	if math.Abs(exact-byLayers) > 1.5*s.grid.Height {
		exact = byLayers
	}
	return exact, work.Of(s.ctx).Spend(q.Cost)
}
