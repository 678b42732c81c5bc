package shapes

import (
	"math"

	"printlint/internal/mesh"
)

// StackedCubes returns two cubes 20 that share a face, as two shells.
func StackedCubes() *mesh.Triangles { return Join(Cube(20), Move(Cube(20), Vec{Z: 20})) }

// FloatingCube returns a cube on the bed and one beside it whose base is 5 up.
func FloatingCube() *mesh.Triangles { return Join(Cube(20), Move(Cube(20), Vec{X: 30, Z: 5})) }

// CubesAtEdge returns a cube 10 on the bed and one above that meets it in an edge only.
func CubesAtEdge() *mesh.Triangles { return Join(Cube(10), Move(Cube(10), Vec{X: 10, Z: 10})) }

// CubesAtCorner returns a cube 10 on the bed and one above that meets it in a corner only.
func CubesAtCorner() *mesh.Triangles { return Join(Cube(10), Move(Cube(10), Vec{X: 10, Y: 10, Z: 10})) }

// CubeOnEdge returns a cube stood on an edge along x, its lowest edge at z = 0: two
// faces lean exactly 45 degrees.
func CubeOnEdge(side float64) *mesh.Triangles { return OnBed(Turn(Cube(side), X, 45)) }

// Drilled returns a cube 20 with a through hole of diameter d along y.
func Drilled(d float64, n int) *mesh.Triangles {
	return ExtrudeY(Rect(0, 0, 20, 20), 0, 20, Ring(10, 10, d/2, n))
}

// Ball returns a sphere of radius r that touches the bed with its pole.
func Ball(r float64, n int) *mesh.Triangles { return Move(Sphere(r, n), Vec{Z: r}) }

// Bolt returns a bolt stood on its head: a round head of radius 9, 6 high, and a
// shank of radius 4, 30 long, one shell.
func Bolt(n int) *mesh.Triangles {
	return Revolve(Polygon{{0, 0}, {9, 0}, {9, 6}, {4, 6}, {4, 36}, {0, 36}}, n)
}

// BoltLying is Bolt laid down along x: it rests on the rim of its head.
func BoltLying(n int) *mesh.Triangles { return OnBed(Turn(Bolt(n), Y, 90)) }

// PatternLid returns a plate 60x40x2 with ribs 0.6 high and 1.2 wide every 6 mm on
// top: turned over, it would stand on its pattern.
func PatternLid() *mesh.Triangles {
	profile := Polygon{{0, 0}, {60, 0}, {60, 2}}
	for x := 54.0; x > 0; x -= 6 {
		profile = append(profile, [2]float64{x + 0.6, 2}, [2]float64{x + 0.6, 2.6}, [2]float64{x - 0.6, 2.6}, [2]float64{x - 0.6, 2})
	}
	return ExtrudeY(append(profile, [2]float64{0, 2}), 0, 40)
}

// Figure returns a standing figure of overlapping bodies with one arm at its side and
// one stretched out 25 mm.
func Figure() *mesh.Triangles {
	return Join(
		box6(-8, -5, 0, -1, 5, 26), box6(1, -5, 0, 8, 5, 26), // legs
		box6(-9, -5, 24, 9, 5, 50),                                  // trunk
		box6(-13, -3, 25, -8.5, 3, 49),                              // arm at the side, hand in the air
		box6(8, -3, 42, 34, 3, 48),                                  // arm stretched out
		Move(Sphere(7, 24), Vec{Z: 55}), box6(-3, -3, 48, 3, 3, 52), // head and neck
	)
}

// Winged returns a ball of radius 10 between two level wings 3 thick, which reach 40
// out from the middle: there is no flat way to lie that suits it.
func Winged() *mesh.Triangles {
	return OnBed(Join(Sphere(10, 32), box6(-40, -15, -1.5, 40, 15, 1.5)))
}

// Glider returns a body 100 long with swept wings and a tail, all of it level and its
// belly round: leaned nose up nearly all of it grows from what is below.
func Glider() *mesh.Triangles {
	wing := func(y float64, outline Polygon, thick float64) *mesh.Triangles {
		right := Prism(outline, -thick/2, thick/2)
		return Move(Join(right, Turn(right, Y, 180)), Vec{Y: y})
	}
	body := Turn(Revolve(Polygon{{0, 0}, {2, 0}, {7, 30}, {7, 70}, {5, 85}, {0, 100}}, 32), X, -90)
	fin := Turn(Prism(Polygon{{0, 2}, {20, 20}, {20, 26}, {0, 26}}, -1, 1), Y, -90)
	return OnBed(Join(body, wing(30, Polygon{{0, 0}, {55, 45}, {55, 55}, {0, 35}}, 2.4), wing(2, Polygon{{0, 0}, {22, 18}, {22, 24}, {0, 22}}, 2), fin))
}

// GroovedBar returns a bar of as many sides, 30 thick and 42.5 long, that lies and has eight
// grooves around it, 1.5 deep: whichever side it lies on hangs a little, and on an end it prints.
func GroovedBar(sides int) *mesh.Triangles {
	const r, depth, step = 15, 1.5, 2.5
	outline := Polygon{{0, 0}}
	z := 0.0
	for range 8 {
		outline = append(outline, [2]float64{r, z}, [2]float64{r, z + step}, [2]float64{r - depth, z + step}, [2]float64{r - depth, z + 2*step})
		z += 2 * step
	}
	outline = append(outline, [2]float64{r, z}, [2]float64{r, z + step}, [2]float64{0, z + step})
	return OnBed(Turn(Turn(Revolve(outline, sides), X, -90), Y, 5))
}

// Tetrahedron returns the regular tetrahedron with edge 1, standing on a face.
func Tetrahedron() *mesh.Triangles {
	r, h := 1/math.Sqrt(3), math.Sqrt(2.0/3)
	ring := Ring(0, 0, r, 3)
	at := func(i int) Vec { return Vec{X: ring[i][0], Y: ring[i][1]} }
	s, top := new(mesh.Triangles), Vec{Z: h}
	tri(s, at(0), at(2), at(1))
	for i := range 3 {
		tri(s, at(i), at((i+1)%3), top)
	}
	return s
}
