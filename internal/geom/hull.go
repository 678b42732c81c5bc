// Package geom is the geometry of the plane and the grouping of numbers that packages
// share which otherwise know nothing of each other.
package geom

import (
	"cmp"
	"math"
	"slices"
)

// Point is a point in the plane. It is a struct since the compiler keeps small arrays in
// memory and not in registers: with arrays a hull of cells takes twice as long.
type Point struct{ X, Y float64 }

// Hull returns the convex hull of points in the plane, counter-clockwise, without points
// along its edges. It sorts the points and drops second ones in place; the hull is a list
// of its own, but for fewer than three points, which are returned as they are.
func Hull(points []Point) []Point {
	slices.SortFunc(points, func(a, b Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	if points = slices.Compact(points); len(points) < 3 {
		return points
	}
	return HullBetween(make([]Point, 0, min(len(points)+1, 64)), points, points[:len(points)-1])
}

// HullBetween is the hull of an outline whose right and left side, each as y rises, are
// known: right begins with the leftmost of the lowest points, left with the same, and right
// alone holds the rightmost of the highest, which are two points at least. The hull is built
// in the memory of the first list (A. M. Andrew's monotone chain, Information Processing
// Letters 9, 1979; his sides are all points in order, and x and y may change places).
func HullBetween(hull, right, left []Point) []Point {
	hull = hull[:0]
	for _, p := range right {
		hull = chain(hull, 1, p)
	}
	keep := len(hull)
	for i := len(left) - 1; i >= 0; i-- {
		hull = chain(hull, keep, left[i])
	}
	return hull[:len(hull)-1]
}

// chain appends a point to a chain that turns left everywhere past its first keep points.
func chain(list []Point, keep int, p Point) []Point {
	for len(list) > keep && turn(list[len(list)-2], list[len(list)-1], p) <= 0 {
		list = list[:len(list)-1]
	}
	return append(list, p)
}

// turn is twice the area of a triangle, positive when it runs counter-clockwise.
func turn(a, b, c Point) float64 {
	return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
}

// Width is the smallest distance between two parallel lines that hold a convex polygon (one
// of them lies along an edge), and diameter the largest distance between two of its points.
// Both are 0 where it has no area.
func Width(hull []Point) (width, diameter float64) {
	if len(hull) < 3 {
		return 0, 0
	}
	width = math.Inf(1)
	far := 0.0
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		ex, ey := q.X-p.X, q.Y-p.Y
		across := 0.0
		for _, s := range hull {
			dx, dy := s.X-p.X, s.Y-p.Y
			across = max(across, math.Abs(float64(ex*dy)-float64(ey*dx)))
			far = max(far, float64(dx*dx)+float64(dy*dy))
		}
		width = min(width, across/math.Hypot(ex, ey))
	}
	return width, math.Sqrt(far)
}

// Inset is the smallest distance of a point from the lines along the edges of a convex
// polygon that runs counter-clockwise, negative once it lies beyond one of them, and 0
// where the polygon has no area.
func Inset(hull []Point, p Point) float64 {
	if len(hull) < 3 {
		return 0
	}
	least := math.Inf(1)
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		least = min(least, turn(a, b, p)/math.Hypot(b.X-a.X, b.Y-a.Y))
	}
	return least
}
