package main

import (
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// vec is a point in mm.
type vec = shapes.Vec

// block is the axis-parallel box between two corners.
func block(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return shapes.Box(vec{X: x0, Y: y0, Z: z0}, vec{X: x1, Y: y1, Z: z1})
}

// plantLabel is a plate with a spike, lying flat, and the word PEA standing 0.6 proud.
func plantLabel() *mesh.Triangles {
	const thick = 1.6
	plate := shapes.Prism(shapes.Polygon{{-28, 10}, {0, 0}, {56, 0}, {60, 4}, {60, 16}, {56, 20}, {0, 20}}, 0, thick)
	return shapes.Join(plate,
		letter('P', 10, 4, thick), letter('E', 26, 4, thick), letter('A', 42, 4, thick))
}

// letters are drawn in cells of a grid three wide and five high, top row first.
var letters = map[rune][5]string{
	'P': {"###", "#.#", "###", "#..", "#.."},
	'E': {"###", "#..", "###", "#..", "###"},
	'A': {"###", "#.#", "###", "#.#", "#.#"},
}

// letter is a relief 8 wide and 12 high at (x, y), rooted in a plate whose top is at z.
func letter(l rune, x, y, z float64) *mesh.Triangles {
	const line, proud, root = 1.6, 0.6, 0.4
	xs := []float64{x, x + line, x + 8 - line, x + 8}
	ys := []float64{y, y + line, y + 5.2, y + 5.2 + line, y + 12 - line, y + 12}
	return shapes.Blocks(xs, ys, []float64{z - root, z + proud}, func(i, j, _ int) bool {
		return letters[l][4-j][i] == '#'
	})
}

// rowMarker is a flat carrot with a hole for a string.
func rowMarker() *mesh.Triangles {
	carrot := shapes.Polygon{
		{0, 0}, {8, 18}, {13, 42}, {12, 52}, {7, 58}, // right side, from the tip
		{10, 72}, {5, 66}, {0, 78}, {-5, 66}, {-10, 72}, // leaves
		{-7, 58}, {-12, 52}, {-13, 42}, {-8, 18},
	}
	return shapes.Prism(carrot, 0, 3, shapes.Ring(0, 46, 3, 8))
}
