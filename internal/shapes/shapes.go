// Package shapes makes small solids whose right answers are known: boxes, prisms,
// solids of revolution, the exact cases that every measure is held to, and their
// damaged relatives. Tests of all packages and the demo collection use it; the
// program itself does not.
//
// Every solid is closed, wound counter-clockwise seen from outside, in mm with z up,
// and the same call gives the same bytes on every machine. A request that has no
// solid, such as a polygon that crosses itself, panics: it is a slip in a test.
package shapes

import (
	"math"

	"printlint/internal/mesh"
)

// Vec is a point or direction in mm.
type Vec = mesh.Vec

// The axes.
var (
	X = Vec{X: 1}
	Y = Vec{Y: 1}
	Z = Vec{Z: 1}
)

// point narrows v to what a file stores; adding zero turns -0 into 0, so that a
// corner has one spelling only.
func point(v Vec) mesh.Point {
	return mesh.Point{float32(v.X) + 0, float32(v.Y) + 0, float32(v.Z) + 0}
}

// tri appends the triangle a b c.
func tri(s *mesh.Triangles, a, b, c Vec) {
	s.Corners = append(s.Corners, point(a), point(b), point(c))
}

// quad appends the flat or warped four-sided face a b c d as two triangles.
func quad(s *mesh.Triangles, a, b, c, d Vec) {
	tri(s, a, b, c)
	tri(s, a, c, d)
}

// turnPart returns the sine and cosine of i/n of a full turn, exact at quarter turns
// so that round bodies touch their bounding box.
func turnPart(i, n int) (sin, cos float64) {
	i = ((i % n) + n) % n
	quarter, rest := 4*i/n, 4*i%n
	sin, cos = 0, 1
	if rest != 0 {
		sin, cos = math.Sincos(float64(rest) / float64(n) * (math.Pi / 2))
	}
	for ; quarter > 0; quarter-- {
		sin, cos = cos, -sin
	}
	return sin, cos
}

// sincosDeg is exact at multiples of 90 degrees.
func sincosDeg(deg float64) (sin, cos float64) {
	if q := deg / 90; q == math.Trunc(q) {
		return turnPart(int(math.Mod(q, 4)), 4)
	}
	return math.Sincos(deg * (math.Pi / 180))
}

// Ring returns the regular n-gon with corners at radius r around (x, y), the first
// in direction +x, counter-clockwise.
func Ring(x, y, r float64, n int) Polygon {
	ring := make(Polygon, n)
	for i := range ring {
		sin, cos := turnPart(i, n)
		ring[i] = [2]float64{x + float64(r*cos), y + float64(r*sin)}
	}
	return ring
}

// Rect returns the rectangle from (x0, y0) to (x1, y1), counter-clockwise.
func Rect(x0, y0, x1, y1 float64) Polygon {
	return Polygon{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}
