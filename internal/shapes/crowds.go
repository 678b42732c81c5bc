package shapes

import (
	"math"
	"math/rand/v2"

	"printlint/internal/mesh"
)

// The solids of this file are small to write and hard to judge: each makes some part of
// the work grow with the square of the file, or worse, unless somebody saw to it.

// RandomTriangles returns n triangles with corners anywhere in a cube of the given side: no
// surface of anything.
func RandomTriangles(n int, side float64, seed uint64) *mesh.Triangles {
	rng := random(seed)
	s := new(mesh.Triangles)
	for range n {
		tri(s, inCube(rng, side), inCube(rng, side), inCube(rng, side))
	}
	return s
}

// inCube is a point of the cube from the origin.
func inCube(rng *rand.Rand, side float64) Vec {
	return Vec{X: rng.Float64() * side, Y: rng.Float64() * side, Z: rng.Float64() * side}
}

// Needles returns n closed slivers, of four triangles each, that run all through a cube
// of the given side and are thick mm thick.
func Needles(n int, side, thick float64, seed uint64) *mesh.Triangles {
	rng := random(seed)
	s := new(mesh.Triangles)
	for range n {
		tip, foot := inCube(rng, side), inCube(rng, side)
		along := tip.Sub(foot).Unit()
		x := along.Cross(Vec{X: 1, Y: .37, Z: .21}).Unit().Scale(thick)
		y := along.Cross(x)
		a, b, c := foot, foot.Add(x), foot.Add(y)
		tri(s, a, c, b)
		tri(s, a, b, tip)
		tri(s, b, c, tip)
		tri(s, c, a, tip)
	}
	return s
}

// Sheets returns n level plates over each other, side mm long and wide, thick mm thick
// and gap mm apart.
func Sheets(n int, side, thick, gap float64) *mesh.Triangles {
	s := new(mesh.Triangles)
	for i := range n {
		z := float64(i) * (thick + gap)
		s = joinInto(s, box6(0, 0, z, side, side, z+thick))
	}
	return s
}

// joinInto appends to a body in place.
func joinInto(s, more *mesh.Triangles) *mesh.Triangles {
	s.Corners = append(s.Corners, more.Corners...)
	return s
}

// Comb returns a plate with n upright walls on it, height mm high, thick mm thick and
// gap mm apart, as one closed surface.
func Comb(n int, depth, height, thick, gap float64) *mesh.Triangles {
	xs := []float64{0}
	for i := range n {
		at := float64(i) * (thick + gap)
		xs = append(xs, at+gap, at+gap+thick)
	}
	xs = append(xs, float64(n)*(thick+gap)+gap)
	return Blocks(xs, []float64{0, depth}, []float64{0, 2, 2 + height}, func(i, _, k int) bool { return k == 0 || i%2 == 1 })
}

// Nested returns n cubes one in the other, the largest of the given side; where turned
// holds every second one is inside out, so that they are shells.
func Nested(n int, side float64, turned bool) *mesh.Triangles {
	s := new(mesh.Triangles)
	for i := range n {
		inset := side / 2 * float64(i) / float64(n)
		b := box6(inset, inset, inset, side-inset, side-inset, side-inset)
		if turned && i%2 == 1 {
			b = Flip(b)
		}
		s = joinInto(s, b)
	}
	return s
}

// Coincident returns the same cube n times, each moved by a hair along x so that no
// corner is that of another.
func Coincident(n int, side, hair float64) *mesh.Triangles {
	s := new(mesh.Triangles)
	for i := range n {
		s = joinInto(s, Move(Cube(side), Vec{X: float64(i) * hair, Y: float64(i) * hair, Z: float64(i) * hair}))
	}
	return s
}

// Floating returns a block on the bed and n upright rods in the air above it, side mm
// wide and deep and height mm high, in a square field.
func Floating(n int, side, height float64) *mesh.Triangles {
	wide := int(math.Ceil(math.Sqrt(float64(n))))
	step := 2 * side
	s := box6(0, 0, 0, float64(wide)*step, float64(wide)*step, 5)
	for i := range n {
		x, y := float64(i%wide)*step, float64(i/wide)*step
		s = joinInto(s, box6(x, y, 10, x+side, y+side, 10+height))
	}
	return s
}

// EdgeFan returns n wedges, closed each, that all share one upright edge of the given
// length.
func EdgeFan(n int, length float64) *mesh.Triangles {
	s := new(mesh.Triangles)
	low, high := Vec{}, Vec{Z: length}
	for i := range n {
		sin, cos := turnPart(2*i, 2*n)
		sin2, cos2 := turnPart(2*i+1, 2*n)
		p, q := Vec{X: length * cos, Y: length * sin}, Vec{X: length * cos2, Y: length * sin2}
		tri(s, low, q, p)
		tri(s, low, p, high)
		tri(s, low, high, q)
		tri(s, p, q, high)
	}
	return s
}

// Overlapping returns n plates of the given side and 2 mm thick that lie every way
// through each other.
func Overlapping(n int, side float64, seed uint64) *mesh.Triangles {
	rng := random(seed)
	s := new(mesh.Triangles)
	for range n {
		plate := box6(-side/2, -side/2, -1, side/2, side/2, 1)
		plate = Turn(plate, Z, rng.Float64()*360)
		plate = Turn(plate, X, rng.Float64()*360)
		s = joinInto(s, Move(plate, inCube(rng, side/4)))
	}
	return s
}

// Crowd is a solid that is hard to judge, by name.
type Crowd struct {
	Name string
	Make func(seed uint64) *mesh.Triangles
}

// Crowds lists what is known to have been hard; the random ones follow a seed.
func Crowds() []Crowd {
	fixed := func(s func() *mesh.Triangles) func(uint64) *mesh.Triangles {
		return func(uint64) *mesh.Triangles { return s() }
	}
	triangles := func(n int) func(uint64) *mesh.Triangles {
		return func(seed uint64) *mesh.Triangles { return RandomTriangles(n, 100, seed) }
	}
	return []Crowd{
		{"soup-500", triangles(500)},
		{"soup-1000", triangles(1000)},
		{"soup-4000", triangles(4000)},
		{"needles-3000", func(seed uint64) *mesh.Triangles { return Needles(3000, 100, 0.2, seed) }},
		{"sheets-flat-1000", fixed(func() *mesh.Triangles { return Sheets(1000, 100, 0.05, 0.05) })},
		{"sheets-upright-1000", fixed(func() *mesh.Triangles { return Turn(Sheets(1000, 100, 0.05, 0.05), X, 90) })},
		{"comb-2000", fixed(func() *mesh.Triangles { return Comb(2000, 100, 30, 0.05, 0.05) })},
		{"nested-1000", fixed(func() *mesh.Triangles { return Nested(1000, 100, false) })},
		{"nested-turned-1000", fixed(func() *mesh.Triangles { return Nested(1000, 100, true) })},
		{"coincident-1000", fixed(func() *mesh.Triangles { return Coincident(1000, 50, 0) })},
		{"shifted-1000", fixed(func() *mesh.Triangles { return Coincident(1000, 50, 0.001) })},
		{"cubes-8000", fixed(func() *mesh.Triangles { return Floating(8000, 1, 1) })},
		{"rods-900", fixed(func() *mesh.Triangles { return Floating(900, 1, 20) })},
		{"edge-fan-4000", fixed(func() *mesh.Triangles { return EdgeFan(4000, 50) })},
		{"corner-fan-20000", fixed(func() *mesh.Triangles { return Cone(50, 0, 50, 20000) })},
		{"plate-100m", fixed(func() *mesh.Triangles { return box6(0, 0, 0, 1e5, 1e5, 2) })},
		{"post-100m", fixed(func() *mesh.Triangles { return box6(0, 0, 0, 10, 10, 1e5) })},
		{"overlapping-1000", func(seed uint64) *mesh.Triangles { return Overlapping(1000, 200, seed) }},
	}
}
