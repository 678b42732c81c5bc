package shapes

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"github.com/hschendel/stl"

	"printlint/internal/mesh"
)

// WriteBinarySTL writes the body as binary STL: 84 bytes and then 50 a triangle. The
// name stands in the header and must not begin with "solid", which text files do.
func WriteBinarySTL(w io.Writer, s *mesh.Triangles, name string) error {
	return writeSTL(w, &stl.Solid{Name: name, Triangles: stlTriangles(s)})
}

// WriteASCIISTL writes the body as text STL, seven lines a triangle.
func WriteASCIISTL(w io.Writer, s *mesh.Triangles, name string) error {
	return writeSTL(w, &stl.Solid{Name: name, IsAscii: true, Triangles: stlTriangles(s)})
}

func writeSTL(w io.Writer, solid *stl.Solid) error {
	buffered := bufio.NewWriter(w)
	if err := solid.WriteAll(buffered); err != nil {
		return fmt.Errorf("write %q as stl: %w", solid.Name, err)
	}
	return buffered.Flush()
}

// stlTriangles adds the normals that the format asks for, rounded to four digits:
// enough for a reader that trusts them, and the same on every processor.
func stlTriangles(s *mesh.Triangles) []stl.Triangle {
	out := make([]stl.Triangle, s.Count())
	for i := range out {
		a, b, c := s.Corners[3*i], s.Corners[3*i+1], s.Corners[3*i+2]
		n := mesh.Of64(b).Sub(mesh.Of64(a)).Cross(mesh.Of64(c).Sub(mesh.Of64(a))).Unit()
		unit := point(roundTo(n, 1e4))
		out[i] = stl.Triangle{Normal: stl.Vec3(unit), Vertices: [3]stl.Vec3{stl.Vec3(a), stl.Vec3(b), stl.Vec3(c)}}
	}
	return out
}

// WriteOBJ writes the body as OBJ: corners at the same place once, in order of first
// use, then one face a triangle.
func WriteOBJ(w io.Writer, s *mesh.Triangles, name string) error {
	buffered := bufio.NewWriter(w)
	fmt.Fprintf(buffered, "# %s, lengths in mm\n", name)
	number := map[mesh.Point]int{}
	for _, p := range s.Corners {
		if number[p] == 0 {
			number[p] = len(number) + 1
			fmt.Fprintf(buffered, "v %s %s %s\n", short(p[0]), short(p[1]), short(p[2]))
		}
	}
	for i := 0; i+2 < len(s.Corners); i += 3 {
		fmt.Fprintf(buffered, "f %d %d %d\n", number[s.Corners[i]], number[s.Corners[i+1]], number[s.Corners[i+2]])
	}
	return buffered.Flush()
}

// short spells x with as few digits as bring back the same float32.
func short(x float32) string { return strconv.FormatFloat(float64(x), 'f', -1, 32) }
