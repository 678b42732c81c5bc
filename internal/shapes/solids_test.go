package shapes

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

// Exact values follow from elementary formulas; those of polygonised round bodies
// are the polygon's own.
func TestSolids(t *testing.T) {
	ngon := func(r float64, n int) float64 { return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n)) }
	oct := ngon(1, 8)
	cases := []struct {
		name         string
		s            *mesh.Triangles
		volume, area float64 // area 0: no formula here
		touching     bool
	}{
		{"cube", Cube(20), 8000, 2400, false},
		{"box off origin", Box(Vec{X: -1, Y: 2, Z: -3}, Vec{X: 4, Y: 5, Z: 6}), 135, 2 * (15 + 27 + 45), false},
		{"cylinder", Cylinder(5, 10, 32), 10 * ngon(5, 32), 0, false},
		{"cylinder lying", CylinderX(5, 10, 32), 10 * ngon(5, 32), 0, false},
		{"cone", Cone(5, 0, 9, 8), 3 * 25 * oct, 0, false},
		{"cone on its tip", Cone(0, 5, 9, 8), 3 * 25 * oct, 0, false},
		{"frustum", Cone(4, 2, 6, 8), 2 * (16 + 8 + 4) * oct, 0, false},
		{"tube", Tube(5, 3, 10, 8), 10 * (25 - 9) * oct, 0, false},
		{"tetrahedron", Tetrahedron(), 1 / (6 * math.Sqrt2), math.Sqrt(3), false},
		{"icosahedron", Icosahedron(), 5 * (3 + math.Sqrt(5)) / 12, 5 * math.Sqrt(3), false},
		{"octahedron", Sphere(1, 4), 4.0 / 3, 4 * math.Sqrt(3), false},
		{"T", T(), 8000, 2*(300+500) + 10*(2*40+2*50), false},
		{"T touching", TTouching(), 8000, 0, false},
		{"T overlapping", TOverlapping(), 8500, 0, false},
		{"portal", Portal(30), 6500, 0, false},
		{"portal touching", PortalTouching(30), 6500, 0, true},
		{"four posts", FourPosts(), 20500, 0, false},
		{"table", Table(), 12000 + 4*64*30, 0, false},
		{"table touching", TableTouching(), 12000 + 4*64*30, 0, false},
		{"roofed box", RoofedBox(), 36*66*23 - 30*60*20, 0, false},
		{"arm 45", LeaningArm(45, 20), 10 * (280 + 160), 0, false},
		{"arm 90", LeaningArm(90, 20), 10 * (280 + 160), 0, false},
		{"hook", Hook(), 10 * (500 + 200 + 350), 0, false},
		{"M", M(), 10 * (2*550 + 30*55 - 2*225 - 20*30), 0, false},
		{"hole block", HoleBlock(10, 32), 20 * (22*22 - ngon(5, 32)), 0, false},
		{"recess", Recess(8, 3, 8), oct * (144*10 - 64*5 - 9*5), 0, false},
		{"lip", Lip(0.4), 20 * (400 + 2), 0, false},
		{"slab", Slab(0.6), 1500, 5000 + 120, false},
		{"fin", Fin(0.3), 20 * (90 + 4.5), 0, false},
		{"pocket", Pocket(0.25), 4000 - 975, 0, false},
		{"slot", Slot(0.2), 20 * (40.2*3 + 800), 0, false},
		{"wedge", Wedge(20), 20 * 450 * math.Tan(math.Pi/9), 0, false},
		{"hollow box", HollowBox(20, 2), 8000 - 4096, 2400 + 6*256, false},
		{"hollow sphere", HollowSphere(3, 1, 4), 4.0 / 3 * (27 - 8), 0, false},
		{"stacked cubes", StackedCubes(), 16000, 0, true},
		{"floating cube", FloatingCube(), 16000, 0, false},
		{"cubes at edge", CubesAtEdge(), 2000, 0, true},
		{"cubes at corner", CubesAtCorner(), 2000, 0, false},
		{"cube on edge", CubeOnEdge(20), 8000, 2400, false},
		{"drilled cube", Drilled(8, 128), 8000 - 320*math.Pi*.999598, 0, false},
		{"bolt", Bolt(8), oct * (81*6 + 16*30), 0, false},
		{"bolt lying", BoltLying(8), oct * (81*6 + 16*30), 0, false},
		{"pattern lid", PatternLid(), 40 * (120 + 9*1.2*.6), 0, false},
		{"figure", Figure(), 0, 0, false},
		{"winged", Winged(), 0, 0, false},
		{"threaded rod", ThreadedRod(4, 1, 10, 32), 0, 0, false},
		{"gyroid", Gyroid(24), 0, 0, false},
		{"noisy ball", NoisyBall(20, 4, 4, 7), 0, 0, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			requireClosed(t, c.s, c.touching)
			assert.Positive(t, volume(c.s))
			if c.volume > 0 {
				assert.InEpsilon(t, c.volume, volume(c.s), 1e-5)
			}
			if c.area > 0 {
				assert.InEpsilon(t, c.area, area(c.s), 1e-5)
			}
		})
	}
}
