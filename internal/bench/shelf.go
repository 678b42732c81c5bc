package main

import (
	"fmt"
	"path/filepath"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// writeShelf writes n boxes in folders of a thousand, every other one with a ledge that
// nothing holds at its far end: half a shelf that is fine and half that is not. No two of the
// first 160,000 have one size.
func writeShelf(folder string, n int) error {
	for i := range n {
		name := fmt.Sprintf("box-%06d", i)
		if err := write(filepath.Join(folder, fmt.Sprintf("%03d", i/1000), name+".stl"), name, shelfBox(i)); err != nil {
			return err
		}
	}
	return nil
}

// shelfBox is the i-th model of the shelf.
func shelfBox(i int) *mesh.Triangles {
	x, y, z := 10+float64(i/2%20)/4, 10+float64(i/40%20)/4, 10+float64(i/800%200)/20
	if i%2 == 0 {
		return shapes.Box(shapes.Vec{}, shapes.Vec{X: x, Y: y, Z: z})
	}
	return shapes.ExtrudeY(shapes.Polygon{{0, 0}, {x, 0}, {x, z - 3}, {x + 12, z - 3}, {x + 12, z}, {0, z}}, 0, y)
}
