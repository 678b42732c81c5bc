package mesh_test

import (
	"fmt"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func ExampleMesh_Topology() {
	cube := shapes.Cube(20)
	t := mesh.Weld(cube).Topology()
	fmt.Println(t.Closed(), len(t.Shells))

	open := mesh.Weld(shapes.DropTriangles(cube, 1, 1)).Topology()
	fmt.Println(open.Closed(), len(open.Shells))
	// Output:
	// true 1
	// false 1
}
