package measure

import (
	"printlint/internal/geom"
	"printlint/internal/layers"
)

// hullBuilder finds convex hulls of cells and keeps its memory from one to the next.
type hullBuilder struct{ left, right, hull []geom.Point }

// of is the convex hull of the cells of runs that are sorted by row, in cells,
// counter-clockwise; it stays valid until the next call. A cell counts with the
// middles of its sides and not with its corners: an outline that lies askew passes
// through the corners of cells that it only grazes, and they would widen the hull.
func (h *hullBuilder) of(runs []layers.Run) []geom.Point {
	h.left, h.right = h.left[:0], h.right[:0]
	for i := 0; i < len(runs); {
		row, lo, hi := runs[i].Row, runs[i].From, runs[i].To
		for ; i < len(runs) && runs[i].Row == row; i++ {
			lo, hi = min(lo, runs[i].From), max(hi, runs[i].To)
		}
		y, left, right := float64(row), float64(lo), float64(hi)
		h.level(y, left+0.5, right-0.5)
		h.level(y+0.5, left, right)
		h.level(y+1, left+0.5, right-0.5)
	}
	if len(h.left) == 0 {
		return nil
	}
	h.right[0] = h.left[0]
	h.hull = geom.HullBetween(h.hull, h.right, h.left)
	return h.hull
}

// level adds the two ends of a level. A level that is the same as the last one
// widens it: the upper sides of one row are the lower ones of the next.
func (h *hullBuilder) level(y, lo, hi float64) {
	n := len(h.left)
	if n == 0 {
		h.right = append(h.right, geom.Point{}) // for the lowest on the left
	} else if h.left[n-1].Y == y {
		lo, hi = min(lo, h.left[n-1].X), max(hi, h.right[n].X)
		h.left, h.right = h.left[:n-1], h.right[:n]
	}
	h.left, h.right = append(h.left, geom.Point{X: lo, Y: y}), append(h.right, geom.Point{X: hi, Y: y})
}
