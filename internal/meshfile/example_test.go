package meshfile_test

import (
	"fmt"
	"strings"

	"printlint/internal/mesh"
	"printlint/internal/meshfile"
)

func ExampleRead() {
	text := "OFF\n4 4 0\n0 0 0\n10 0 0\n0 10 0\n0 0 10\n3 0 2 1\n3 0 1 3\n3 0 3 2\n3 1 2 3\n"
	parts, err := meshfile.Read("corner.off", strings.NewReader(text), meshfile.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := parts[0].Load(); err != nil {
		fmt.Println(err)
		return
	}
	m := mesh.Weld(parts[0].Triangles)
	fmt.Println(parts[0].Kind, len(m.Tris), "triangles", len(m.Verts), "vertices")
	fmt.Println("line", m.Source.Of(0).Line)

	_, err = meshfile.Read("corner.off", strings.NewReader("OFF\n4 4 0\n0 0 0\n"), meshfile.Options{})
	fmt.Println(err != nil)
	// Output:
	// off 4 triangles 4 vertices
	// line 7
	// true
}
