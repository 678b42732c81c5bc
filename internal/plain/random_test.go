package plain

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// families make solids at random.
var families = []struct {
	name string
	make func(r *rand.Rand) *mesh.Triangles
}{
	{"boxes", boxes},
	{"arms", arms},
	{"wedge", func(r *rand.Rand) *mesh.Triangles {
		return shapes.LeaningArm(between(r, 20, 88), between(r, 1, 14))
	}},
	{"arch", func(r *rand.Rand) *mesh.Triangles {
		if r.IntN(2) == 0 {
			return stepped(between(r, 6, 26), float64(1+r.IntN(4))*0.2)
		}
		return shapes.HoleBlock(between(r, 4, 26), 32+16*r.IntN(3))
	}},
	{"brace", func(r *rand.Rand) *mesh.Triangles {
		return brace(between(r, 6, 30), between(r, 0, 70), float64(r.IntN(2)))
	}},
	{"stairs", func(r *rand.Rand) *mesh.Triangles {
		up := float64(1+r.IntN(5)) * 0.2
		return shapes.Stairs(up*math.Tan(between(r, 10, 85)*math.Pi/180), up, between(r, 3, 15))
	}},
	{"pillars", pillars},
	{"vase", vase},
	{"room", room},
}

// randomSolids are n of each family. Those of another seed than the usual one have it in their names.
func randomSolids(seed uint64, n int) (list []solid) {
	suffix := ""
	if os.Getenv(dice.Variable) != "" {
		suffix = fmt.Sprint(" of seed ", seed)
	}
	for f, family := range families {
		for i := range n {
			list = append(list, solid{fmt.Sprint(family.name, " ", i, suffix), func() *mesh.Triangles {
				r := rand.New(rand.NewPCG(seed, uint64(1000*f+i)))
				s := family.make(r)
				if r.IntN(2) == 0 {
					s = shapes.Turn(s, shapes.Z, between(r, 0, 360))
				}
				return s
			}})
		}
	}
	return list
}

func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// boxes are a few blocks on each other and beside, some in the air.
func boxes(r *rand.Rand) *mesh.Triangles {
	s := box(0, 0, 0, between(r, 8, 30), between(r, 8, 30), 5)
	z := 5.0
	for range 2 + r.IntN(3) {
		b := shapes.Bounds(s)
		x, y := between(r, b.Min.X-6, b.Max.X-6), between(r, b.Min.Y-6, b.Max.Y-6)
		high := between(r, 3, 9)
		from := z
		if r.IntN(6) == 0 {
			from += between(r, 0, 2)
		}
		s = shapes.Join(s, box(x, y, from, x+between(r, 7, 22), y+between(r, 7, 22), from+high))
		z = from + high
	}
	return s
}

// arms are a post with a few level arms.
func arms(r *rand.Rand) *mesh.Triangles {
	s := box(-5, -5, 0, 5, 5, 40)
	for i := range 1 + r.IntN(4) {
		z, wide := between(r, 6, 34), between(r, 1, 4)
		arm := box(-wide, 4, z, wide, 5+between(r, 0.5, 12), z+between(r, 1.5, 5))
		s = shapes.Join(s, shapes.Turn(arm, shapes.Z, float64(90*i)))
	}
	return s
}

// pillars carry a plate.
func pillars(r *rand.Rand) *mesh.Triangles {
	x, y := between(r, 10, 40), between(r, 10, 30)
	s := box(0, 0, 12, x, y, 15)
	for range 2 + r.IntN(6) {
		side := between(r, 3, 8)
		px, py := between(r, 0, x-side), between(r, 0, y-side)
		s = shapes.Join(s, box(px, py, 0, px+side, py+side, 12))
	}
	return s
}

// room is two to four walls under a roof that may stand out past them, over a gap up to 85.
func room(r *rand.Rand) *mesh.Triangles {
	gap, deep, out := between(r, 4, 85), between(r, 6, 24), between(r, 0, 4)
	s := shapes.Join(box(-5, 0, 0, 0, deep, 10), box(gap, 0, 0, gap+5, deep, 10), box(-5, -out, 10, gap+5, deep+out, 12))
	for range r.IntN(3) {
		at := between(r, 0, gap)
		s = shapes.Join(s, box(at, 0, 0, at+2, deep, 10))
	}
	return s
}

// vase turns a profile that goes out and in about an axis.
func vase(r *rand.Rand) *mesh.Triangles {
	at, z := between(r, 4, 9), 0.0
	outer := shapes.Polygon{{at, 0}}
	for range 3 + r.IntN(3) {
		up := between(r, 2, 6)
		at = min(max(3, at+up*math.Tan(between(r, -60, 72)*math.Pi/180)), 20)
		z += up
		outer = append(outer, [2]float64{at, z})
	}
	return shapes.Revolve(append(append(shapes.Polygon{{0, 0}}, outer...), [2]float64{0, z}), 48)
}
