package shapes

import "printlint/internal/mesh"

// Blocks returns the boundary of a union of cells of a grid with the given planes:
// cell i, j, k reaches from xs[i] to xs[i+1] and so on. It gives tables, trays and
// boxes as one closed shell with no corner in the middle of another's edge. Cells
// that meet in an edge only share that edge four ways.
func Blocks(xs, ys, zs []float64, filled func(i, j, k int) bool) *mesh.Triangles {
	in := func(i, j, k int) bool {
		return i >= 0 && j >= 0 && k >= 0 && i < len(xs)-1 && j < len(ys)-1 && k < len(zs)-1 && filled(i, j, k)
	}
	at := func(i, j, k int) Vec { return Vec{X: xs[i], Y: ys[j], Z: zs[k]} }
	s := new(mesh.Triangles)
	for k := range len(zs) - 1 {
		for j := range len(ys) - 1 {
			for i := range len(xs) - 1 {
				if in(i, j, k) {
					cell(s, i, j, k, in, at)
				}
			}
		}
	}
	return s
}

// cell appends those of the six faces of a cell that have no neighbour.
func cell(s *mesh.Triangles, i, j, k int, in func(i, j, k int) bool, at func(i, j, k int) Vec) {
	if !in(i-1, j, k) {
		quad(s, at(i, j, k), at(i, j, k+1), at(i, j+1, k+1), at(i, j+1, k))
	}
	if !in(i+1, j, k) {
		quad(s, at(i+1, j, k), at(i+1, j+1, k), at(i+1, j+1, k+1), at(i+1, j, k+1))
	}
	if !in(i, j-1, k) {
		quad(s, at(i, j, k), at(i+1, j, k), at(i+1, j, k+1), at(i, j, k+1))
	}
	if !in(i, j+1, k) {
		quad(s, at(i, j+1, k), at(i, j+1, k+1), at(i+1, j+1, k+1), at(i+1, j+1, k))
	}
	if !in(i, j, k-1) {
		quad(s, at(i, j, k), at(i, j+1, k), at(i+1, j+1, k), at(i+1, j, k))
	}
	if !in(i, j, k+1) {
		quad(s, at(i, j, k+1), at(i+1, j, k+1), at(i+1, j+1, k+1), at(i, j+1, k+1))
	}
}

// box6 is Box from six numbers, for bodies joined of many.
func box6(x0, y0, z0, x1, y1, z1 float64) *mesh.Triangles {
	return Box(Vec{X: x0, Y: y0, Z: z0}, Vec{X: x1, Y: y1, Z: z1})
}
