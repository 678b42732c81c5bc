package shapes

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// The formulas below are elementary geometry; a polygonised body must come nearer to
// them the finer it is, and never reach past them where it is inscribed.

func TestRoundBodiesConverge(t *testing.T) {
	shell := func(r, n float64) float64 { return 4 * math.Pi / 3 * (r*r*r - n*n*n) }
	cases := []struct {
		name      string
		make      func(n int) *mesh.Triangles
		v, a      float64
		inscribed bool
	}{
		{"sphere", func(n int) *mesh.Triangles { return Sphere(10, n) }, shell(10, 0), 400 * math.Pi, true},
		{"icosphere", func(n int) *mesh.Triangles { return Icosphere(10, n/16) }, shell(10, 0), 400 * math.Pi, true},
		{"hollow sphere", func(n int) *mesh.Triangles { return HollowSphere(10, 2, n) }, shell(10, 8), 4 * math.Pi * 164, false},
		{"cylinder", func(n int) *mesh.Triangles { return Cylinder(5, 20, n) }, 500 * math.Pi, 250 * math.Pi, true},
		{"torus", func(n int) *mesh.Triangles { return Torus(10, 3, n, n) }, 1776.529, 1184.353, false},
		{"drilled cube", func(n int) *mesh.Triangles { return Drilled(8, n) }, 6994.690, 2400 - 32*math.Pi + 160*math.Pi, false},
		{"cone", func(n int) *mesh.Triangles { return Cone(0, 10, 10, n) }, 1000 * math.Pi / 3, 444.288 + 100*math.Pi, true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			last := math.Inf(1)
			for _, n := range []int{16, 32, 64} {
				s := c.make(n)
				offV, offA := math.Abs(volume(s)/c.v-1), math.Abs(area(s)/c.a-1)
				if c.inscribed {
					assert.Less(t, volume(s), c.v)
					assert.Less(t, area(s), c.a)
				}
				assert.Less(t, offV, last/2, "n = %d", n)
				assert.Less(t, offA, 0.1)
				last = offV
			}
			assert.Less(t, last, 0.008)
		})
	}
}

// TestAreaPastAnAngle holds 2 pi r^2 (1 - sin a) for a sphere and its kin.
func TestAreaPastAnAngle(t *testing.T) {
	for _, deg := range []float64{30, 45, 60} {
		sin := math.Sin(deg * math.Pi / 180)
		want := 2 * math.Pi * 100 * (1 - sin)
		assert.InEpsilon(t, want, areaPast(Sphere(10, 360), sin), 0.02, "sphere, %g deg", deg)
		want = (90 - deg) / 180 * 2 * math.Pi * 5 * 20
		assert.InEpsilon(t, want, areaPast(OnBed(CylinderX(5, 20, 720)), sin), 0.01, "lying cylinder, %g deg", deg)
	}
	// Twice pi r times R times the quarter turn of the tube that leans past 45.
	assert.InEpsilon(t, 296.088, areaPast(Torus(10, 3, 128, 360), math.Sqrt2/2), 0.02)
	// The underside of the block, and the roof of a tunnel of radius 5, 20 long: r L pi/2.
	assert.InEpsilon(t, 400+157.08, areaPast(Drilled(10, 720), math.Sqrt2/2), 0.01)
}

// TestNgonVolume compares with the ratios N/(2 pi) sin(2 pi/N) printed in the check cases.
func TestNgonVolume(t *testing.T) {
	for n, ratio := range map[int]float64{16: .974495, 32: .993587, 64: .998394, 128: .999598} {
		assert.InDelta(t, ratio, volume(Cylinder(1, 1, n))/math.Pi, 1e-6, "%d corners", n)
		inner := math.Inf(1)
		for i, a := range Ring(0, 0, 1, n) {
			b := Ring(0, 0, 1, n)[(i+1)%n]
			inner = min(inner, math.Hypot((a[0]+b[0])/2, (a[1]+b[1])/2))
		}
		assert.InDelta(t, math.Cos(math.Pi/float64(n)), inner, 1e-12)
	}
}

func TestConeOnItsTipLeansByItsHalfAngle(t *testing.T) {
	s := Cone(0, 10, 10, 720)
	assert.InEpsilon(t, 444.288, areaPast(s, math.Sin(44.9*math.Pi/180)), 1e-3)
	assert.Zero(t, areaPast(s, math.Sin(45.1*math.Pi/180)))
}

func TestRoundHoleRoof(t *testing.T) {
	for _, d := range []float64{7.1, 10, 14.1, 20} {
		t.Run(fmt.Sprint(d), func(t *testing.T) {
			s := HoleBlock(d, 64)
			steep := mesh.EmptyBox()
			for i := range s.Count() {
				n := normal(s, i).Unit()
				if -n.Z > math.Sqrt2/2+1e-6 && s.Corners[3*i][2] > 1 {
					for k := range 3 {
						steep.Include(mesh.Of64(s.Corners[3*i+k]))
					}
				}
			}
			require.Positive(t, steep.Size().X)
			assert.InEpsilon(t, d/math.Sqrt2, steep.Size().X, 1e-5)
		})
	}
}

func TestThreadFlanksLean60AndReachTheirDepth(t *testing.T) {
	s := ThreadedRod(4, 1, 6, 180)
	sin := func(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
	foot := math.Pi * 16
	flanks := 6 * math.Pi * (25 - 16) / sin(60)
	assert.InEpsilon(t, foot+flanks, areaPast(s, sin(59.9)), 1e-3)
	assert.InEpsilon(t, foot, areaPast(s, sin(60.1)), 1e-3)
	assert.InDelta(t, 5, Bounds(s).Max.X, 1e-6)
}
