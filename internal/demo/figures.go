package main

import (
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// scarecrow is put together from bodies that overlap: foot, pole, coat, arms, head
// and hat. The arms reach 20 past the coat.
func scarecrow() *mesh.Triangles {
	// The hem leans less than 45 degrees.
	coat := shapes.Revolve(shapes.Polygon{{0, 10}, {2, 10}, {11, 24}, {7, 54}, {0, 54}}, 16)
	return shapes.Join(
		shapes.Cylinder(12, 4, 16),
		block(-2.5, -2.5, 2, 2.5, 2.5, 60),
		coat,
		block(-28, -2.5, 44, 28, 2.5, 49),
		shapes.Move(shapes.Sphere(7, 16), vec{Z: 60}),
		shapes.Move(shapes.Cone(9, 3, 12, 16), vec{Z: 65}),
	)
}

// hedgehog has a knobbly back, a smooth belly and a snout: it touches the bed with
// the middle of its belly only.
func hedgehog() *mesh.Triangles {
	const r = 15.0
	body := shapes.Map(shapes.NoisyBall(r, 1.5, 2, 5), func(p vec) vec {
		if p.Z < 1 {
			p = p.Unit().Scale(r)
		}
		return vec{X: 1.3 * p.X, Y: p.Y, Z: 0.8 * p.Z}
	})
	snout := shapes.Move(shapes.Turn(shapes.Cone(6, 1.5, 16, 12), shapes.Y, 90), vec{X: 11, Z: 1})
	return shapes.OnBed(shapes.Join(body, snout))
}
