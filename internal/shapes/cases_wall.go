package shapes

import "printlint/internal/mesh"

// Slab returns a plate 50x50 of thickness t.
func Slab(t float64) *mesh.Triangles { return box6(0, 0, 0, 50, 50, t) }

// Fin returns a plate 30x20x3 with an upright fin of thickness t, 15 high, across
// its middle, one shell.
func Fin(t float64) *mesh.Triangles {
	a, b := 15-t/2, 15+t/2
	return ExtrudeY(Polygon{{0, 0}, {30, 0}, {30, 3}, {b, 3}, {b, 18}, {a, 18}, {a, 3}, {0, 3}}, 0, 20)
}

// Pocket returns a block 20x20x10 with a pocket 10x10 from above that leaves a floor
// of thickness t.
func Pocket(t float64) *mesh.Triangles {
	third := []float64{0, 5, 15, 20}
	return Blocks(third, third, []float64{0, t, 10}, func(i, j, k int) bool { return k == 0 || i != 1 || j != 1 })
}

// Slot returns two blocks 20x20x20 that stand g apart on a common floor 3 thick.
func Slot(g float64) *mesh.Triangles {
	return ExtrudeY(Polygon{{0, 0}, {40 + g, 0}, {40 + g, 23}, {20 + g, 23}, {20 + g, 3}, {20, 3}, {20, 23}, {0, 23}}, 0, 20)
}

// Wedge returns a wedge 30 long and 20 deep whose faces meet along the y axis at the
// given inner angle in degrees: d from that edge it is d tan(angle) thick.
func Wedge(angle float64) *mesh.Triangles {
	sin, cos := sincosDeg(angle)
	return ExtrudeY(Polygon{{0, 0}, {30, 0}, {30, 30 * sin / cos}}, 0, 20)
}

// HollowBox returns a cube of the given side around a sealed cubic cavity, with
// walls of thickness t.
func HollowBox(side, t float64) *mesh.Triangles {
	return Join(Cube(side), Flip(Move(Cube(side-2*t), Vec{X: t, Y: t, Z: t})))
}

// HollowSphere returns a ball of radius r about the origin around a sealed concentric
// cavity, with a wall of thickness t.
func HollowSphere(r, t float64, n int) *mesh.Triangles {
	return Join(Sphere(r, n), Flip(Sphere(r-t, n)))
}
