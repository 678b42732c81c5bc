package main

import (
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// potFeet are four wedges with a stop for the rim of the pot, laid out on one plate.
func potFeet() []*mesh.Triangles {
	foot := shapes.ExtrudeY(shapes.Polygon{{0, 0}, {24, 0}, {24, 14}, {18, 14}, {16, 8}, {0, 6}}, 0, 12)
	var feet []*mesh.Triangles
	for i := range 4 {
		at := vec{X: float64(30 * (i % 2)), Y: float64(18 * (i / 2))}
		feet = append(feet, shapes.Move(foot, at))
	}
	return feet
}

// trayDivider is a strip with three fins of 0.3, thinner than one printed line.
func trayDivider() *mesh.Triangles {
	profile := shapes.Polygon{{0, 0}, {72, 0}, {72, 2}}
	for _, x := range []float64{54, 36, 18} {
		profile = append(profile, [2]float64{x + 0.15, 2}, [2]float64{x + 0.15, 22}, [2]float64{x - 0.15, 22}, [2]float64{x - 0.15, 2})
	}
	return shapes.ExtrudeY(append(profile, [2]float64{0, 2}), 0, 24)
}

// rainFunnel stands on its wide end and would print well, were it not inside-out.
func rainFunnel() *mesh.Triangles {
	return shapes.Flip(shapes.Revolve(shapes.Polygon{
		{28, 0}, {30, 0}, {30, 4}, {7, 32}, {7, 48}, {5, 48}, {5, 31}, {28, 3},
	}, 20))
}

// feederLid is a shallow roof; the knob above it floats 2 clear of it.
func feederLid() *mesh.Triangles {
	roof := shapes.Revolve(shapes.Polygon{{0, 0}, {38, 0}, {40, 3}, {10, 12}, {0, 12}}, 24)
	knob := shapes.Revolve(shapes.Polygon{{0, 14}, {5, 14}, {8, 18}, {8, 21}, {5, 24}, {0, 24}}, 16)
	return shapes.Join(roof, knob)
}

// coldFrameVent is a frame stood upright; its lintel spans 48.
func coldFrameVent() *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Rect(0, 0, 64, 28), 0, 10, shapes.Rect(8, 6, 56, 22))
}

// gateFinial is a ball with a stud on top, lying on its pole.
func gateFinial() *mesh.Triangles {
	ball := shapes.Move(shapes.Sphere(14, 20), vec{Z: 14})
	return shapes.Join(ball, shapes.Move(shapes.Cylinder(4, 12, 16), vec{Z: 26}))
}

// hingePlate is a plate with four holes and a knuckle stood on it, off the origin and
// with its middle at z = 0.
func hingePlate() *mesh.Triangles {
	var holes []shapes.Polygon
	for _, x := range []float64{8, 42} {
		for _, y := range []float64{8, 22} {
			holes = append(holes, shapes.Ring(x, y, 2.5, 12))
		}
	}
	plate := shapes.Prism(shapes.Rect(0, 0, 50, 30), 0, 4, holes...)
	knuckle := shapes.Move(shapes.Tube(7, 3.2, 14, 16), vec{X: 25, Y: 15, Z: 3})
	return shapes.Move(shapes.Join(plate, knuckle), vec{X: -150, Y: 95, Z: -8})
}

// pottingBench is a small bench on four legs.
func pottingBench() *mesh.Triangles {
	return shapes.Blocks([]float64{0, 8, 62, 70}, []float64{0, 8, 32, 40}, []float64{0, 30, 34},
		func(i, j, k int) bool { return k == 1 || (i != 1 && j != 1) })
}
