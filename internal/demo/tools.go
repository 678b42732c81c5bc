package main

import (
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// seedDibber stands on the end of its handle; nothing on it leans past 45 degrees.
func seedDibber() *mesh.Triangles {
	return shapes.Revolve(shapes.Polygon{
		{0, 0}, {10, 0}, {13, 8}, {9, 30}, // handle
		{12, 35}, {12, 38}, {8, 41}, // collar: the depth to push in to
		{6, 70}, {1.5, 92}, {0, 92},
	}, 20)
}

// seedDibberLying rests on the rims of its handle and collar.
func seedDibberLying() *mesh.Triangles {
	return shapes.OnBed(shapes.Turn(seedDibber(), shapes.Y, 90))
}

// fenceHook is a strap that goes over a rail 24 thick; its tip hangs down behind it.
func fenceHook() *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{
		{0, 0}, {6, 0}, {6, 50}, {30, 50}, {30, 34}, {36, 34}, {36, 56}, {0, 56},
	}, 0, 14)
}

// shelfBracket is an angle with a small gusset; the arm lies on top.
func shelfBracket() *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{
		{0, 0}, {5, 0}, {5, 37}, {13, 45}, {45, 45}, {45, 50}, {0, 50},
	}, 0, 20)
}

// cableClip is a saddle over a flat cable 8 wide, with a flange on each side.
func cableClip() *mesh.Triangles {
	saddle := shapes.Polygon{
		{0, 0}, {11, 0}, {11, 8}, {19, 8}, {19, 0}, {30, 0},
		{30, 3}, {22, 3}, {22, 11}, {8, 11}, {8, 3}, {0, 3},
	}
	return shapes.ExtrudeY(saddle, 0, 12)
}

// hoseClamp is a block with a level hole of 12: the roof of the hole is a bridge of
// no more than 8.5 where it leans past 45 degrees.
func hoseClamp() *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{{0, 0}, {32, 0}, {32, 16}, {25, 24}, {7, 24}, {0, 16}}, 0, 14,
		shapes.Ring(16, 12, 6, 24))
}

// rackBoss is a round spacer whose screw head goes in from below: the ceiling of the
// recess is a ring 3 wide.
func rackBoss() *mesh.Triangles {
	return shapes.Revolve(shapes.Polygon{{5.5, 0}, {10, 0}, {10, 12}, {2.5, 12}, {2.5, 5}, {5.5, 5}}, 24)
}

// soilScraper is a grip with a blade stood on it, 0.3 thick: less than a printed line.
func soilScraper() *mesh.Triangles {
	return shapes.ExtrudeY(shapes.Polygon{
		{0, 0}, {14, 0}, {14, 10}, {7.15, 14}, {7.15, 30}, {6.85, 30}, {6.85, 14}, {0, 10},
	}, 0, 60)
}
