package pose

import (
	"math"
	"slices"
)

// marginIn is how far p lies inside the convex hull of points in the plane: negative
// outside, and never above 0 when the points span no area.
func marginIn(points [][2]float64, p [2]float64) float64 {
	hull := flatHull(points)
	if len(hull) < 3 {
		return 0
	}
	least := math.Inf(1)
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		ex, ey := b[0]-a[0], b[1]-a[1]
		least = min(least, turn(a, b, p)/math.Hypot(ex, ey))
	}
	return least
}

// turn is twice the area of the triangle, positive when it runs counter-clockwise.
func turn(a, b, c [2]float64) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}

// flatHull is the convex hull of points in the plane, counter-clockwise (A. M.
// Andrew's monotone chain, 1979).
func flatHull(points [][2]float64) [][2]float64 {
	points = slices.Clone(points)
	slices.SortFunc(points, func(a, b [2]float64) int { return slices.Compare(a[:], b[:]) })
	points = slices.Compact(points)
	if len(points) < 3 {
		return points
	}
	var hull [][2]float64
	add := func(p [2]float64, keep int) {
		for len(hull) > keep && turn(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	for _, p := range points {
		add(p, 1)
	}
	keep := len(hull)
	for i := len(points) - 2; i >= 0; i-- {
		add(points[i], keep)
	}
	return hull[:len(hull)-1]
}
