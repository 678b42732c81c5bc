package shapes

import (
	"math"

	"printlint/internal/mesh"
)

// Icosahedron returns the regular icosahedron with edge 1 about the origin.
func Icosahedron() *mesh.Triangles {
	g := (1 + math.Sqrt(5)) / 4 // half the golden ratio, for corners at distance 1
	v := []Vec{
		{X: -.5, Y: g}, {X: .5, Y: g}, {X: -.5, Y: -g}, {X: .5, Y: -g},
		{Y: -.5, Z: g}, {Y: .5, Z: g}, {Y: -.5, Z: -g}, {Y: .5, Z: -g},
		{X: g, Z: -.5}, {X: g, Z: .5}, {X: -g, Z: -.5}, {X: -g, Z: .5},
	}
	s := new(mesh.Triangles)
	for _, t := range [20][3]int{
		{0, 11, 5}, {0, 5, 1}, {0, 1, 7}, {0, 7, 10}, {0, 10, 11},
		{1, 5, 9}, {5, 11, 4}, {11, 10, 2}, {10, 7, 6}, {7, 1, 8},
		{3, 9, 4}, {3, 4, 2}, {3, 2, 6}, {3, 6, 8}, {3, 8, 9},
		{4, 9, 5}, {2, 4, 11}, {6, 2, 10}, {8, 6, 7}, {9, 8, 1},
	} {
		tri(s, v[t[0]], v[t[1]], v[t[2]])
	}
	return s
}

// Icosphere returns a sphere of radius r about the origin from an icosahedron whose
// triangles are split in four, levels times: 20 * 4^levels triangles of like size.
func Icosphere(r float64, levels int) *mesh.Triangles {
	s := Icosahedron()
	for range levels {
		s = Map(Split4(s), Vec.Unit)
	}
	return Map(s, func(p Vec) Vec { return p.Unit().Scale(r) })
}

// NoisyBall is Icosphere with a knobbly radius: r plus waves of all directions that
// add up to at most amplitude. It stands for scanned and sculpted models.
func NoisyBall(r, amplitude float64, levels int, seed uint64) *mesh.Triangles {
	rng := random(seed)
	const waves = 12
	var dirs [waves]Vec
	var phase [waves]float64
	for i := range dirs {
		d := Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		dirs[i], phase[i] = d.Unit().Scale(3+2*float64(i)), 2*math.Pi*rng.Float64()
	}
	return Map(Icosphere(1, levels), func(p Vec) Vec {
		sum := 0.0
		for i, d := range dirs {
			sum += math.Sin(d.Dot(p) + phase[i])
		}
		return p.Scale(r + amplitude*sum/waves)
	})
}

// Gyroid returns a wavy sheet, about 3 mm thick, cut out of a gyroid by a cube 60
// from a grid of n cells a side; triangles grow as n squared. Every layer of it is
// many curved walls, which makes it a hard case for speed.
func Gyroid(n int) *mesh.Triangles {
	const side, margin = 60.0, 1.0
	return March(func(p Vec) float64 {
		k := 2 * math.Pi / 30
		sheet := math.Abs(math.Sin(k*p.X)*math.Cos(k*p.Y)+math.Sin(k*p.Y)*math.Cos(k*p.Z)+math.Sin(k*p.Z)*math.Cos(k*p.X)) - 0.45
		box := max(-p.X, -p.Y, -p.Z, p.X-side, p.Y-side, p.Z-side)
		return max(sheet, box)
	}, mesh.Box{Min: Vec{X: -margin, Y: -margin, Z: -margin}, Max: Vec{X: side + margin, Y: side + margin, Z: side + margin}}, n)
}
