package meshfile

import (
	"fmt"
	"io"

	"github.com/hschendel/stl"

	"printlint/internal/mesh"
)

// WriteSTL writes a mesh as binary STL: 84 bytes and then 50 a triangle, in the order
// of the mesh. Lengths are divided by scale, the mm of one unit of the file.
// The name goes into the header, as far as its 80 bytes reach.
func WriteSTL(w io.Writer, m *mesh.Mesh, name string, scale float64) error {
	solid := &stl.Solid{BinaryHeader: stlHeaderOf(name), Triangles: make([]stl.Triangle, len(m.Tris))}
	for i, t := range m.Tris {
		n := m.Normal(i).Unit()
		out := &solid.Triangles[i]
		out.Normal = stl.Vec3{float32(n.X), float32(n.Y), float32(n.Z)}
		for k, v := range t {
			for axis, x := range m.Verts[v] {
				out.Vertices[k][axis] = float32(float64(x) / scale)
			}
		}
	}
	if err := solid.WriteAll(w); err != nil {
		return fmt.Errorf("writing binary STL: %w", err)
	}
	return nil
}

// stlHeaderOf fits a name into the header. A header that begins with "solid" would
// pass for a text file.
func stlHeaderOf(name string) []byte {
	header := make([]byte, stlHeader-4)
	copy(header, "name: "+name)
	return header
}
