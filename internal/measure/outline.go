package measure

import (
	"cmp"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// stroke is where a triangle crosses a level plane: a line between points on two of its edges.
type stroke struct {
	edge [2]uint64 // each by its two corners
	at   [2]geom.Point
}

// outlineWidth is the smallest distance between two parallel lines that hold what the surface
// encloses at a height within a rectangle of cells, which holds one piece of the layer there.
// It is exact where cells are coarse, and 0 where there is none. It is not whole where the outline
// runs on past a cell around: the piece is then a part of something wider, from which only the cells part it.
func (s *stack) outlineWidth(z float64, cells *cellRect) (width float64, whole bool, err error) {
	g := &s.grid
	rect := mesh.Box{
		Min: mesh.Vec{X: g.X0 + float64(float64(cells.col[0])*g.Cell), Y: g.Y0 + float64(float64(cells.row[0])*g.Cell), Z: z},
		Max: mesh.Vec{X: g.X0 + float64(float64(cells.col[1])*g.Cell), Y: g.Y0 + float64(float64(cells.row[1])*g.Cell), Z: z},
	}
	strokes, err := s.strokes(z, rect.Grow(g.Cell))
	if err != nil {
		return 0, false, err
	}
	order, starts := joinStrokes(strokes).Members()
	var outline []geom.Point
	for k := range starts[:len(starts)-1] {
		var points []geom.Point
		near := false
		for _, i := range order[starts[k]:starts[k+1]] {
			points = append(points, strokes[i].at[:]...)
			near = near || strokes[i].meets(rect.Grow(g.Cell/2))
		}
		if near {
			outline = append(outline, points...)
		}
	}
	for _, p := range outline {
		if !rect.Contains(mesh.Vec{X: p.X, Y: p.Y, Z: z}, 2*g.Cell) {
			return 0, false, nil
		}
	}
	width, _ = geom.Width(geom.Hull(outline))
	return width, true, nil
}

// strokes are those at a height that come into a box.
func (s *stack) strokes(z float64, box mesh.Box) (list []stroke, err error) {
	tree, err := s.search()
	if err != nil {
		return nil, err
	}
	m := s.body.Mesh
	q := spatial.Query{Tree: tree}
	q.Near(s.place.BackBox(box), 0, func(tri uint32) bool {
		var one stroke
		n := 0
		t := m.Tris[tri]
		for i := range t {
			a, b := t[i], t[(i+1)%3]
			if a > b { // the same point from both sides
				a, b = b, a
			}
			p, r := s.place.To(mesh.Of64(m.Verts[a])), s.place.To(mesh.Of64(m.Verts[b]))
			if (p.Z > z) == (r.Z > z) {
				continue
			}
			c := p.Add(r.Sub(p).Scale((z - p.Z) / (r.Z - p.Z)))
			one.edge[n], one.at[n] = uint64(a)<<32|uint64(b), geom.Point{X: c.X, Y: c.Y}
			n++
		}
		if n == 2 && one.meets(box) {
			list = append(list, one)
		}
		return true
	})
	return list, work.Of(s.ctx).Spend(q.Cost)
}

// meets says that a stroke comes into a box, both seen from above: what the sides of the box
// leave of the stroke is not nothing.
func (o *stroke) meets(box mesh.Box) bool {
	from, to := 0., 1.
	clip := func(at, step, lo, hi float64) {
		if step == 0 {
			if at < lo || at > hi {
				to = -1
			}
			return
		}
		first, last := (lo-at)/step, (hi-at)/step
		from, to = max(from, min(first, last)), min(to, max(first, last))
	}
	p, q := o.at[0], o.at[1]
	clip(p.X, q.X-p.X, box.Min.X, box.Max.X)
	clip(p.Y, q.Y-p.Y, box.Min.Y, box.Max.Y)
	return from <= to
}

// joinStrokes are the sets of strokes that hang together at their ends.
func joinStrokes(strokes []stroke) geom.Sets[uint32] {
	sets := geom.Sets[uint32](nil).Grow(len(strokes))
	type end struct {
		edge uint64
		of   uint32
	}
	ends := make([]end, 0, 2*len(strokes))
	for i := range strokes {
		ends = append(ends, end{strokes[i].edge[0], uint32(i)}, end{strokes[i].edge[1], uint32(i)})
	}
	slices.SortFunc(ends, func(a, b end) int { return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.of, b.of)) })
	for i := 1; i < len(ends); i++ {
		if ends[i].edge == ends[i-1].edge {
			sets.Join(ends[i].of, ends[i-1].of)
		}
	}
	return sets
}
