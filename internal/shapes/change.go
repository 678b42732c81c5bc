package shapes

import (
	"math"
	"math/rand/v2"

	"printlint/internal/mesh"
)

// Join puts several bodies into one, in order. Bodies that overlap or touch stay
// shells of their own.
func Join(bodies ...*mesh.Triangles) *mesh.Triangles {
	out := new(mesh.Triangles)
	for _, s := range bodies {
		out.Corners = append(out.Corners, s.Corners...)
	}
	return out
}

// Map returns the body with every corner sent through f. Equal corners stay equal.
func Map(s *mesh.Triangles, f func(Vec) Vec) *mesh.Triangles {
	out := &mesh.Triangles{Corners: make([]mesh.Point, len(s.Corners))}
	for i, p := range s.Corners {
		out.Corners[i] = point(f(mesh.Of64(p)))
	}
	return out
}

// Move shifts the body by d.
func Move(s *mesh.Triangles, d Vec) *mesh.Triangles {
	return Map(s, func(p Vec) Vec { return p.Add(d) })
}

// Scale multiplies every coordinate by k, k > 0.
func Scale(s *mesh.Triangles, k float64) *mesh.Triangles {
	return Map(s, func(p Vec) Vec { return p.Scale(k) })
}

// Turn rotates the body about an axis through the origin by deg degrees, with the
// right hand; quarter turns are exact.
func Turn(s *mesh.Triangles, axis Vec, deg float64) *mesh.Triangles {
	sin, cos := sincosDeg(deg)
	u := axis.Unit()
	return Map(s, func(p Vec) Vec {
		along := u.Scale(u.Dot(p))
		across := p.Sub(along)
		side := u.Cross(p)
		return Vec{
			X: along.X + float64(across.X*cos) + float64(side.X*sin),
			Y: along.Y + float64(across.Y*cos) + float64(side.Y*sin),
			Z: along.Z + float64(across.Z*cos) + float64(side.Z*sin),
		}
	})
}

// Mirror reflects the body in the plane x = 0 and winds it outward again.
func Mirror(s *mesh.Triangles) *mesh.Triangles {
	return Flip(Map(s, func(p Vec) Vec { return Vec{X: -p.X, Y: p.Y, Z: p.Z} }))
}

// Flip reverses every triangle: a solid becomes inside-out, or the wall of a cavity.
func Flip(s *mesh.Triangles) *mesh.Triangles {
	out := &mesh.Triangles{Corners: append([]mesh.Point(nil), s.Corners...)}
	for i := 0; i+2 < len(out.Corners); i += 3 {
		out.Corners[i+1], out.Corners[i+2] = out.Corners[i+2], out.Corners[i+1]
	}
	return out
}

// OnBed drops or lifts the body so that its lowest corner lies at z = 0.
func OnBed(s *mesh.Triangles) *mesh.Triangles { return Move(s, Vec{Z: -Bounds(s).Min.Z}) }

// Bounds returns the extent of the body.
func Bounds(s *mesh.Triangles) mesh.Box {
	box := mesh.EmptyBox()
	for _, p := range s.Corners {
		box.Include(mesh.Of64(p))
	}
	return box
}

// Round moves every coordinate to the nearest multiple of step, which keeps text
// files short. Features must be larger than the step.
func Round(s *mesh.Triangles, step float64) *mesh.Triangles {
	// Dividing by a whole number gives the nearest float to a decimal fraction.
	perUnit := math.Round(1 / step)
	return Map(s, func(p Vec) Vec { return roundTo(p, perUnit) })
}

// roundTo rounds the coordinates to whole parts of 1/perUnit.
func roundTo(p Vec, perUnit float64) Vec {
	to := func(x float64) float64 { return math.Round(x*perUnit) / perUnit }
	return Vec{X: to(p.X), Y: to(p.Y), Z: to(p.Z)}
}

// Shuffle puts the triangles into another order and starts each at another corner.
func Shuffle(s *mesh.Triangles, seed uint64) *mesh.Triangles {
	rng := random(seed)
	out := &mesh.Triangles{Corners: make([]mesh.Point, 0, len(s.Corners))}
	for _, t := range rng.Perm(s.Count()) {
		first := rng.IntN(3)
		for k := range 3 {
			out.Corners = append(out.Corners, s.Corners[3*t+(first+k)%3])
		}
	}
	return out
}

// Split4 cuts every triangle into four at the middles of its edges.
func Split4(s *mesh.Triangles) *mesh.Triangles {
	out := &mesh.Triangles{Corners: make([]mesh.Point, 0, 4*len(s.Corners))}
	for i := 0; i+2 < len(s.Corners); i += 3 {
		a, b, c := mesh.Of64(s.Corners[i]), mesh.Of64(s.Corners[i+1]), mesh.Of64(s.Corners[i+2])
		ab, bc, ca := a.Add(b).Scale(0.5), b.Add(c).Scale(0.5), c.Add(a).Scale(0.5)
		tri(out, a, ab, ca)
		tri(out, ab, b, bc)
		tri(out, ca, bc, c)
		tri(out, ab, bc, ca)
	}
	return out
}

func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)) }
