package shapes

import "printlint/internal/mesh"

// T returns the letter: a stem 10x10x30 that carries a bar 50x10x10, one shell. The
// bar reaches 20 past the stem on each side; 400 mm2 of it face down.
func T() *mesh.Triangles {
	return ExtrudeY(Polygon{{20, 0}, {30, 0}, {30, 30}, {50, 30}, {50, 40}, {0, 40}, {0, 30}, {20, 30}}, 0, 10)
}

// TTouching is T as two boxes that share a face.
func TTouching() *mesh.Triangles { return Join(box6(20, 0, 0, 30, 10, 30), box6(0, 0, 30, 50, 10, 40)) }

// TOverlapping is T as two boxes of which the stem reaches 5 into the bar.
func TOverlapping() *mesh.Triangles {
	return Join(box6(20, 0, 0, 30, 10, 35), box6(0, 0, 30, 50, 10, 40))
}

// Portal returns two piers 10x10x20 with a gap between them, under a deck 5 thick,
// one shell. The underside of the deck is gap x 10.
func Portal(gap float64) *mesh.Triangles {
	return ExtrudeY(Polygon{{0, 0}, {10, 0}, {10, 20}, {10 + gap, 20}, {10 + gap, 0}, {20 + gap, 0}, {20 + gap, 25}, {0, 25}}, 0, 10)
}

// PortalTouching is Portal as three boxes that share faces.
func PortalTouching(gap float64) *mesh.Triangles {
	return Join(box6(0, 0, 0, 10, 10, 20), box6(10+gap, 0, 0, 20+gap, 10, 20), box6(0, 0, 20, 20+gap, 10, 25))
}

// FourPosts returns a deck 50x50x5 on four corner piers 10x10x20, 30 apart both
// ways: strips between neighbours span 30, the middle needs the strips first.
func FourPosts() *mesh.Triangles {
	return Blocks([]float64{0, 10, 40, 50}, []float64{0, 10, 40, 50}, []float64{0, 20, 25},
		func(i, j, k int) bool { return k == 1 || (i != 1 && j != 1) })
}

// Table returns a top 60x40x5 at height 30 on four legs 8x8 at its corners, one shell.
func Table() *mesh.Triangles {
	return Blocks([]float64{0, 8, 52, 60}, []float64{0, 8, 32, 40}, []float64{0, 30, 35},
		func(i, j, k int) bool { return k == 1 || (i != 1 && j != 1) })
}

// Signpost returns a post 10x10x50 on a foot 30x30x4, with four arms 12 long, 10 wide and 5
// thick at height 30, one to each side: whichever way up, some of them hang.
func Signpost() *mesh.Triangles {
	return Blocks([]float64{-2, 0, 10, 20, 30, 32}, []float64{-2, 0, 10, 20, 30, 32}, []float64{0, 4, 30, 35, 50}, func(i, j, k int) bool {
		post := i == 2 && j == 2
		foot := k == 0 && i > 0 && i < 4 && j > 0 && j < 4
		return post || foot || k == 2 && (i == 2 || j == 2)
	})
}

// Channels returns a block with two square channels through it, one above the other and square to
// each other, so wide, with as much above each as said: whichever way up, one of them lies.
func Channels(wide, above float64) *mesh.Triangles {
	sides := []float64{0, 10, 10 + wide, 20 + wide}
	zs := []float64{0, 10, 10 + wide, 10 + wide + above, 10 + 2*wide + above, 10 + 2*(wide+above)}
	return Blocks(sides, sides, zs, func(i, j, k int) bool { return !(k == 1 && i == 1 || k == 3 && j == 1) })
}

// Gates returns two gates 40 wide and 100 tall, one on top of the other and square to it, under
// lintels 10 thick: whichever way up, one of them spans its width.
func Gates() *mesh.Triangles {
	sides := []float64{0, 10, 50, 60}
	return Blocks(sides, sides, []float64{0, 100, 110, 210, 220}, func(i, j, k int) bool {
		return !(k == 0 && i == 1 || k == 2 && j == 1)
	})
}

// TableTouching is Table as five boxes that share faces.
func TableTouching() *mesh.Triangles {
	s := box6(0, 0, 30, 60, 40, 35)
	for _, x := range []float64{0, 52} {
		for _, y := range []float64{0, 32} {
			s = Join(s, box6(x, y, 0, x+8, y+8, 30))
		}
	}
	return s
}

// RoofedBox returns walls 3 thick and 20 high around a room 30x60, under a roof 3
// thick: the roof spans 30.
func RoofedBox() *mesh.Triangles {
	return Blocks([]float64{0, 3, 33, 36}, []float64{0, 3, 63, 66}, []float64{0, 20, 23},
		func(i, j, k int) bool { return k == 1 || i != 1 || j != 1 })
}

// LeaningArm returns a post 10x10x20 with an arm whose underside leans by lean
// degrees from vertical (0 < lean <= 90) and runs out by run mm.
func LeaningArm(lean, run float64) *mesh.Triangles {
	sin, cos := sincosDeg(lean)
	rise := run * cos / sin
	return ExtrudeY(Polygon{{0, 0}, {10, 0}, {10, 20}, {10 + run, 20 + rise}, {10 + run, 28 + rise}, {10, 28}, {0, 28}}, 0, 10)
}

// Hook returns a post with an arm whose tip hangs down beside it and ends 15 above
// the bed: one shell, yet the tip starts in the air.
func Hook() *mesh.Triangles {
	return ExtrudeY(Polygon{{0, 0}, {10, 0}, {10, 40}, {30, 40}, {30, 15}, {40, 15}, {40, 50}, {0, 50}}, 0, 10)
}

// M returns two feet 10x10 joined by a saddle whose undersides lean 45 degrees: two
// places on the bed, nothing that starts in the air.
func M() *mesh.Triangles {
	return ExtrudeY(Polygon{{0, 0}, {10, 0}, {10, 20}, {25, 35}, {40, 20}, {40, 0}, {50, 0}, {50, 55}, {40, 55}, {25, 40}, {10, 55}, {0, 55}}, 0, 10)
}

// HoleBlock returns a block 20 deep with a round hole of diameter d along y, as an
// n-gon, walls of 6 mm around it. With n a multiple of 8 the roof past 45 degrees
// has exactly the chord d/sqrt 2.
func HoleBlock(d float64, n int) *mesh.Triangles {
	side := d + 12
	return ExtrudeY(Rect(0, 0, side, side), 0, 20, Ring(side/2, side/2, d/2, n))
}

// Recess returns a round boss 10 high with a through hole of radius inner and a
// screw-head recess of radius outer, 5 deep, seen from below: its ceiling is a ring.
func Recess(outer, inner float64, n int) *mesh.Triangles {
	return Revolve(Polygon{{outer, 0}, {outer + 4, 0}, {outer + 4, 10}, {inner, 10}, {inner, 5}, {outer, 5}}, n)
}

// Lip returns a block 20x20x20 with a flat lip of the given reach along one upper
// edge, 5 thick.
func Lip(reach float64) *mesh.Triangles {
	return ExtrudeY(Polygon{{0, 0}, {20, 0}, {20, 15}, {20 + reach, 15}, {20 + reach, 20}, {0, 20}}, 0, 20)
}

// Clip returns a plate and beside it a wall of the given width, length along y and height, that
// leaves the foot to one side by out, over a slope of 45 degrees that begins at the height from.
func Clip(width, length, height, out, from float64) *mesh.Triangles {
	wall := ExtrudeY(Polygon{{0, 0}, {width, 0}, {width, height}, {-out, height}, {-out, from + out}, {0, from}}, 0, length)
	return Join(wall, box6(width+5, 0, 0, width+55, 50, 3))
}

// ThreadedRod returns an upright rod of core radius r with rings of the given depth,
// both flanks leaning 60 degrees from the axis, as on a metric thread.
func ThreadedRod(r, depth float64, rings, n int) *mesh.Triangles {
	sin, cos := sincosDeg(60)
	half := depth * cos / sin
	profile := Polygon{{0, 0}, {r, 0}}
	for k := range rings {
		z := 5 + float64(2*k)*half
		profile = append(profile, [2]float64{r, z}, [2]float64{r + depth, z + half})
	}
	top := 5 + float64(2*rings)*half
	return Revolve(append(profile, [2]float64{r, top}, [2]float64{r, top + 5}, [2]float64{0, top + 5}), n)
}

// Stairs is a block whose side steps out, by a tread every riser, over a run.
func Stairs(tread, riser, run float64) *mesh.Triangles {
	xs, zs := []float64{0, 10}, []float64{0, 10}
	for xs[len(xs)-1] < 10+run-1e-9 {
		xs, zs = append(xs, xs[len(xs)-1]+tread), append(zs, zs[len(zs)-1]+riser)
	}
	zs = append(zs, zs[len(zs)-1]+4)
	return Blocks(xs, []float64{0, 14}, zs, func(i, _, k int) bool { return i <= k })
}
