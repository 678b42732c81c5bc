package shapes

import (
	"fmt"

	"printlint/internal/mesh"
)

// Box returns the axis-parallel box from lo to hi.
func Box(lo, hi Vec) *mesh.Triangles {
	return Prism(Rect(lo.X, lo.Y, hi.X, hi.Y), lo.Z, hi.Z)
}

// Cube returns the cube of the given side with one corner at the origin.
func Cube(side float64) *mesh.Triangles { return Box(Vec{}, Vec{X: side, Y: side, Z: side}) }

// Prism returns the polygon in the xy plane, with holes, drawn out from z0 to z1.
func Prism(outline Polygon, z0, z1 float64, holes ...Polygon) *mesh.Triangles {
	return extrude(outline, holes, func(p [2]float64, top bool) Vec {
		if top {
			return Vec{X: p[0], Y: p[1], Z: z1}
		}
		return Vec{X: p[0], Y: p[1], Z: z0}
	})
}

// ExtrudeY returns the polygon in the xz plane, with holes, drawn out from y0 to y1.
func ExtrudeY(profile Polygon, y0, y1 float64, holes ...Polygon) *mesh.Triangles {
	// Seen with x to the right and z up, y points away: the near face is the top.
	return extrude(profile, holes, func(p [2]float64, top bool) Vec {
		if top {
			return Vec{X: p[0], Y: y0, Z: p[1]}
		}
		return Vec{X: p[0], Y: y1, Z: p[1]}
	})
}

func extrude(outline Polygon, holes []Polygon, place func(p [2]float64, top bool) Vec) *mesh.Triangles {
	s := new(mesh.Triangles)
	for _, t := range triangulate(outline, holes) {
		tri(s, place(t[0], true), place(t[1], true), place(t[2], true))
		tri(s, place(t[2], false), place(t[1], false), place(t[0], false))
	}
	walls := func(ring Polygon) {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			quad(s, place(a, false), place(b, false), place(b, true), place(a, true))
		}
	}
	walls(outline.turned(true))
	for _, h := range holes {
		walls(h.turned(false))
	}
	return s
}

// Revolve turns a profile of (radius, z) corners about the z axis in n steps. A
// profile that touches the axis gives poles or a full core.
func Revolve(profile Polygon, n int) *mesh.Triangles {
	profile = profile.turned(true)
	for _, p := range profile {
		if p[0] < 0 {
			panic(fmt.Sprintf("shapes: profile corner %v lies beyond the axis", p))
		}
	}
	at := func(p [2]float64, i int) Vec {
		if p[0] == 0 {
			return Vec{Z: p[1]}
		}
		sin, cos := turnPart(i, n)
		return Vec{X: p[0] * cos, Y: p[0] * sin, Z: p[1]}
	}
	s := new(mesh.Triangles)
	for k, a := range profile {
		b := profile[(k+1)%len(profile)]
		for i := range n {
			switch {
			case a[0] == 0 && b[0] == 0: // on the axis: no face
			case a[0] == 0:
				tri(s, at(a, i), at(b, i+1), at(b, i))
			case b[0] == 0:
				tri(s, at(a, i), at(a, i+1), at(b, i))
			default:
				quad(s, at(a, i), at(a, i+1), at(b, i+1), at(b, i))
			}
		}
	}
	return s
}

// Cylinder returns the upright n-sided prism inscribed in a cylinder of radius r,
// from z = 0 to h.
func Cylinder(r, h float64, n int) *mesh.Triangles { return Prism(Ring(0, 0, r, n), 0, h) }

// CylinderX returns a cylinder lying along x, from x = 0 to l, its axis at y = z = 0.
func CylinderX(r, l float64, n int) *mesh.Triangles { return Turn(Cylinder(r, l, n), Y, 90) }

// Cone returns the frustum with radius r0 at z = 0 and r1 at z = h; either may be 0.
func Cone(r0, r1, h float64, n int) *mesh.Triangles {
	profile := Polygon{{0, 0}, {r0, 0}, {r1, h}, {0, h}}
	if r1 == 0 {
		profile = profile[:3]
	}
	if r0 == 0 {
		profile = append(profile[:1], profile[2:]...)
	}
	return Revolve(profile, n)
}

// Tube returns an upright pipe with outer radius outer and bore inner, z = 0 to h.
func Tube(outer, inner, h float64, n int) *mesh.Triangles {
	return Revolve(Rect(inner, 0, outer, h), n)
}

// Sphere returns a sphere of radius r about the origin with n meridians, n even, and
// a pole at the top and at the bottom.
func Sphere(r float64, n int) *mesh.Triangles {
	profile := make(Polygon, n/2+1)
	for i := range profile {
		sin, cos := turnPart(i, 2*(len(profile)-1))
		profile[i] = [2]float64{float64(r * sin), float64(-r * cos)}
	}
	return Revolve(profile, n)
}

// Torus returns the ring with tube radius r about a circle of radius around in the
// plane z = 0, with n steps round the axis and m round the tube.
func Torus(around, r float64, n, m int) *mesh.Triangles { return Revolve(Ring(around, 0, r, m), n) }
