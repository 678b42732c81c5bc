package mesh

import "math"

// flatness is how far, as a part of the largest coordinate, a corner may stand off a plane
// and still lie in it: float32 keeps 24 bits, so a plane that was turned is rough by some
// 1e-7 of its coordinates, and three corners of it span it two or three times as badly.
const flatness = 1e-6

// Flat tells whether all corners lie in one plane, or on one line, or in one place: then
// the model encloses nothing, and nothing of it can be printed, however large it is.
func (m *Mesh) Flat() bool {
	if len(m.Verts) == 0 {
		return true
	}
	o := Of64(m.Verts[0])
	a := m.farthest(func(p Vec) float64 { return p.Sub(o).Len() })
	along := a.Sub(o)
	b := m.farthest(func(p Vec) float64 { return p.Sub(o).Cross(along).Len() })
	normal := along.Cross(b.Sub(o))
	length := normal.Len()
	if length == 0 {
		return true
	}
	off := m.farthest(func(p Vec) float64 { return math.Abs(p.Sub(o).Dot(normal)) }).Sub(o).Dot(normal)
	largest := m.farthest(func(p Vec) float64 { return max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) })
	size := max(math.Abs(largest.X), math.Abs(largest.Y), math.Abs(largest.Z))
	return math.Abs(off) <= float64(float64(flatness*size)*length)
}

// farthest returns the first corner of the largest measure.
func (m *Mesh) farthest(measure func(Vec) float64) (far Vec) {
	most := -1.0
	for i := range m.Verts {
		p := Of64(m.Verts[i])
		if d := measure(p); d > most {
			most, far = d, p
		}
	}
	return far
}
