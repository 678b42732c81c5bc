package measure

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/layers"
)

// lattice is a point in half cells.
type lattice struct{ x, y int32 }

// huller finds convex hulls of cells and keeps its memory from one to the next.
type huller struct {
	points      []lattice
	left, right []lattice
	hull        [][2]float64
}

// of is the convex hull of the cells of runs that are sorted by row, in cells,
// counter-clockwise; it stays valid until the next call. A cell counts with the
// middles of its sides and not with its corners: an outline that lies askew passes
// through the corners of cells that it only grazes, and they would widen the hull.
// The two chains are those of A. M. Andrew, 1979, taken by rows, so that nothing
// needs sorting.
func (h *huller) of(runs []layers.Run) [][2]float64 {
	h.left, h.right, h.hull = h.left[:0], h.right[:0], h.hull[:0]
	for i := 0; i < len(runs); {
		row, lo, hi := runs[i].Row, runs[i].From, runs[i].To
		for ; i < len(runs) && runs[i].Row == row; i++ {
			lo, hi = min(lo, runs[i].From), max(hi, runs[i].To)
		}
		h.level(2*row, 2*lo+1, 2*hi-1)
		h.level(2*row+1, 2*lo, 2*hi)
		h.level(2*row+2, 2*lo+1, 2*hi-1)
	}
	return h.close()
}

// around is the convex hull of the corners of hulls, in the same manner.
func (h *huller) around(corners [][2]float64) [][2]float64 {
	h.left, h.right, h.hull = h.left[:0], h.right[:0], h.hull[:0]
	h.points = h.points[:0]
	for _, c := range corners {
		h.points = append(h.points, lattice{int32(2 * c[0]), int32(2 * c[1])})
	}
	slices.SortFunc(h.points, func(p, q lattice) int { return cmp.Or(cmp.Compare(p.y, q.y), cmp.Compare(p.x, q.x)) })
	for _, p := range h.points {
		h.level(p.y, p.x, p.x)
	}
	return h.close()
}

// close joins both chains to a hull.
func (h *huller) close() [][2]float64 {
	for _, p := range h.right {
		h.add(p)
	}
	for i := len(h.left) - 1; i >= 0; i-- {
		h.add(h.left[i])
	}
	if n := len(h.hull); n > 1 && h.hull[n-1] == h.hull[0] {
		h.hull = h.hull[:n-1]
	}
	return h.hull
}

// level adds the two ends of a level. A level that is the same as the last one
// widens it: the upper sides of one row are the lower ones of the next.
func (h *huller) level(y, lo, hi int32) {
	if n := len(h.left); n > 0 && h.left[n-1].y == y {
		lo = min(lo, h.left[n-1].x)
		h.left = h.left[:n-1]
	}
	if n := len(h.right); n > 0 && h.right[n-1].y == y {
		hi = max(hi, h.right[n-1].x)
		h.right = h.right[:n-1]
	}
	h.left = chain(h.left, lattice{lo, y}, -1)
	h.right = chain(h.right, lattice{hi, y}, 1)
}

// chain adds a point to a chain that turns one way only.
func chain(list []lattice, p lattice, turn int64) []lattice {
	for len(list) >= 2 {
		a, b := list[len(list)-2], list[len(list)-1]
		cross := int64(b.x-a.x)*int64(p.y-a.y) - int64(b.y-a.y)*int64(p.x-a.x)
		if cross*turn > 0 {
			break
		}
		list = list[:len(list)-1]
	}
	return append(list, p)
}

func (h *huller) add(p lattice) {
	q := [2]float64{float64(p.x) / 2, float64(p.y) / 2}
	if n := len(h.hull); n == 0 || h.hull[n-1] != q {
		h.hull = append(h.hull, q)
	}
}

// caliper is the smallest distance between two parallel lines that hold a convex
// polygon (one of them lies along an edge), and the largest distance between two of
// its points.
func caliper(hull [][2]float64) (width, diameter float64) {
	if len(hull) < 3 {
		return 0, 0
	}
	width = math.Inf(1)
	far := 0.0
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		ex, ey := q[0]-p[0], q[1]-p[1]
		across := 0.0
		for _, s := range hull {
			dx, dy := s[0]-p[0], s[1]-p[1]
			across = max(across, math.Abs(float64(ex*dy)-float64(ey*dx)))
			far = max(far, float64(dx*dx)+float64(dy*dy))
		}
		width = min(width, across/math.Hypot(ex, ey))
	}
	return width, math.Sqrt(far)
}

// inset is the smallest distance of a point from the lines along the edges of a
// convex polygon, negative once it lies beyond one of them.
func inset(hull [][2]float64, x, y float64) float64 {
	least := math.Inf(1)
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		ex, ey := q[0]-p[0], q[1]-p[1]
		cross := float64(ex*(y-p[1])) - float64(ey*(x-p[0]))
		least = min(least, cross/math.Hypot(ex, ey))
	}
	return least
}
