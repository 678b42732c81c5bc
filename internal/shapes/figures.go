package shapes

import "printlint/internal/mesh"

// ellipsoid is negative inside the ellipsoid with the given half axes, nearly a distance.
func ellipsoid(p, middle, half Vec) float64 {
	p = p.Sub(middle)
	r := Vec{X: p.X / half.X, Y: p.Y / half.Y, Z: p.Z / half.Z}.Len()
	return (r - 1) * min(half.X, half.Y, half.Z)
}

// capsule is the distance to a rod with round ends.
func capsule(p, a, b Vec, r float64) float64 {
	d := b.Sub(a)
	t := min(max(p.Sub(a).Dot(d)/d.Dot(d), 0), 1)
	return p.Sub(a.Add(d.Scale(t))).Len() - r
}

// FourLegs returns a body like that of an animal, 40 mm long, on four legs with round feet,
// which end at the heights given, front right first, then counter-clockwise. It has no flat.
func FourLegs(feet [4]float64, n int) *mesh.Triangles {
	const r = 4.0
	at := [4][2]float64{{12, -7}, {12, 7}, {-12, 7}, {-12, -7}}
	f := func(p Vec) float64 {
		d := ellipsoid(p, Vec{Z: 22}, Vec{X: 20, Y: 11, Z: 10})
		d = min(d, ellipsoid(p, Vec{X: 20, Z: 30}, Vec{X: 7, Y: 6, Z: 6}))
		for i, q := range at {
			d = min(d, capsule(p, Vec{X: q[0], Y: q[1], Z: feet[i] + r}, Vec{X: q[0], Y: q[1], Z: 20}, r))
		}
		return d
	}
	return March(f, mesh.Box{Min: Vec{X: -28, Y: -28, Z: -8.13}, Max: Vec{X: 28, Y: 28, Z: 47.87}}, n)
}

// Bust returns a head on a neck and shoulders that are round below.
func Bust(n int) *mesh.Triangles {
	f := func(p Vec) float64 {
		d := ellipsoid(p, Vec{Z: 10}, Vec{X: 16, Y: 10, Z: 10})
		d = min(d, capsule(p, Vec{Z: 10}, Vec{Y: 1, Z: 30}, 5))
		return min(d, ellipsoid(p, Vec{Y: -1, Z: 34}, Vec{X: 8, Y: 9, Z: 11}))
	}
	return March(f, mesh.Box{Min: Vec{X: -26, Y: -26, Z: -3.07}, Max: Vec{X: 26, Y: 26, Z: 48.93}}, n)
}

// FiveFeet returns an egg on five round feet that grow together, which end at the heights given,
// the one in the middle first. It has no flat.
func FiveFeet(feet [5]float64, n int) *mesh.Triangles {
	const r, around = 6.0, 7.5
	at := [5][2]float64{{0, 0}, {around, 0}, {0, around}, {-around, 0}, {0, -around}}
	f := func(p Vec) float64 {
		d := ellipsoid(p, Vec{Z: 20}, Vec{X: 13, Y: 13, Z: 16})
		for i, q := range at {
			d = min(d, ellipsoid(p, Vec{X: q[0], Y: q[1], Z: feet[i] + r}, Vec{X: r, Y: r, Z: r}))
		}
		return d
	}
	return March(f, mesh.Box{Min: Vec{X: -22, Y: -22, Z: -4.03}, Max: Vec{X: 22, Y: 22, Z: 39.97}}, n)
}
