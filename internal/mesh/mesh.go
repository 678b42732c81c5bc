// Package mesh holds a model as index arrays: welded corners, triangles, and for
// every triangle the place in the file it was read from.
//
// Lengths are millimetres, z is up. Corners are float32 because that is what the
// common file formats carry; arithmetic on them is float64.
package mesh

// Point is a corner of a triangle as it stands in the file, in mm.
type Point [3]float32

// Tri names the three corners of a triangle by their index into Mesh.Verts,
// counter-clockwise seen from outside the solid.
type Tri [3]uint32

// Triangles are triangles as a file lists them: three corners each in mm, no corner
// shared with another triangle.
type Triangles struct {
	// Corners has three points a triangle.
	Corners []Point
	// Source says where each triangle came from.
	Source Source
}

// Count is the number of triangles.
func (s *Triangles) Count() int { return len(s.Corners) / 3 }

// Mesh is a welded model: corners at exactly the same position are one vertex.
type Mesh struct {
	// Verts are the distinct corners, in order of first use.
	Verts []Point
	// Tris are the triangles, in the order of the file.
	Tris []Tri
	// Source says where each triangle came from.
	Source Source
}

// Mapped returns the mesh with each corner moved to where the function says. Triangles are shared with m.
func (m *Mesh) Mapped(to func(Vec) Vec) *Mesh {
	moved := &Mesh{Verts: make([]Point, len(m.Verts)), Tris: m.Tris}
	for i, v := range m.Verts {
		moved.Verts[i] = Of32(to(Of64(v)))
	}
	return moved
}

// Append adds the triangles of another mesh, with corners of their own and no source.
func (m *Mesh) Append(other *Mesh) {
	first := uint32(len(m.Verts))
	m.Verts = append(m.Verts, other.Verts...)
	for _, t := range other.Tris {
		m.Tris = append(m.Tris, Tri{t[0] + first, t[1] + first, t[2] + first})
	}
}

// Source tells where the triangles of a mesh stand in their file.
type Source struct {
	// Lines is the source line of each triangle, from 1; nil in binary files.
	Lines []uint32
	// Offset and Stride place triangle i of a binary file at bytes
	// [Offset+i*Stride, Offset+(i+1)*Stride); Stride is 0 in text files.
	Offset, Stride int64
}

// Place is where one triangle stands in its file.
type Place struct {
	// Line is the source line, from 1, or 0 in a binary file.
	Line int
	// Triangle is the ordinal of the triangle in its file, from 1.
	Triangle int
	// Offset and Length are its byte range in a binary file; Length is 0 in text.
	Offset, Length int64
}

// Of returns the place of triangle i.
func (s *Source) Of(i int) Place {
	p := Place{Triangle: i + 1}
	if i < len(s.Lines) {
		p.Line = int(s.Lines[i])
	}
	if s.Stride > 0 {
		p.Offset, p.Length = s.Offset+int64(i)*s.Stride, s.Stride
	}
	return p
}
