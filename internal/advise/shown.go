package advise

import (
	"context"

	"printlint/internal/finding"
	"printlint/internal/mesh"
)

// Shown returns the pieces of a model as they were advised, for pictures: each laid its best
// way up, and where it was in the file's own frame.
func Shown(ctx context.Context, m *mesh.Mesh, s *finding.Split) (laid, inPlace []*mesh.Mesh, err error) {
	pieces, err := cutAgain(ctx, m, s)
	for i, p := range pieces {
		laid, inPlace = append(laid, p.laidAs(&s.Pieces[i])), append(inPlace, p.inPlace())
	}
	return laid, inPlace, err
}

// inPlace is the piece in the file's own frame.
func (p *piece) inPlace() *mesh.Mesh {
	return p.mesh.Mapped(func(v mesh.Vec) mesh.Vec { return p.back(v.Add(p.shift)) })
}

// cornersOf are the corners of the triangles of a solid, three each.
func cornersOf(m *mesh.Mesh) [][3]float32 {
	list := make([][3]float32, 0, 3*len(m.Tris))
	for _, t := range m.Tris {
		for _, v := range t {
			list = append(list, m.Verts[v])
		}
	}
	return list
}
