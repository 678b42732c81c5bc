package support

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// distinct leaves out places that lie mostly in another with more air below it: two rules, or
// a rule at two angles, may speak of the same underside, and the air below it counts once. The
// order of those left is that of the list.
func distinct(places []Underside) []Underside {
	order := make([]int, len(places))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return -cmp.Compare(places[a].Below.Air, places[b].Below.Air) })
	kept := make([]bool, len(places))
	s := newBoxGrid(places)
	for _, i := range order {
		box := &places[i].Below.Box
		first := s.first(box, func(k int32) bool {
			other := &places[k].Below.Box
			return overlap(other, box) > 0.5*min(plan(other), plan(box)) && nearLevel(other, box)
		})
		if first < 0 {
			kept[i] = true
			s.insert(int32(i), box)
		}
	}
	var list []Underside
	for i := range places {
		if kept[i] {
			list = append(list, places[i])
		}
	}
	return list
}

// boxGrid finds the boxes near another, by a uniform grid: each box is listed in all cells
// that it touches, or in large where these are many. Cells are as large as boxes are on
// the average.
type boxGrid struct {
	from  mesh.Vec
	cell  mesh.Vec // size of one
	cells map[[3]int32][]int32
	large []int32
}

const (
	cellsAcross = 64 // at most, along each axis
	cellsPerBox = 27 // that a box lies in
)

func newBoxGrid(places []Underside) *boxGrid {
	all, sum := mesh.EmptyBox(), mesh.Vec{}
	for i := range places {
		b := &places[i].Below.Box
		all.IncludeBox(*b)
		sum = sum.Add(b.Size())
	}
	s := &boxGrid{from: all.Min, cells: map[[3]int32][]int32{}} // looked up, never walked
	least, mean := all.Size().Scale(1./cellsAcross), sum.Scale(1/float64(max(len(places), 1)))
	s.cell = mesh.Vec{X: max(least.X, mean.X, 1e-6), Y: max(least.Y, mean.Y, 1e-6), Z: max(least.Z, mean.Z, touch)}
	return s
}

// span is the cells that a box touches, made larger by a margin along z.
func (s *boxGrid) span(b *mesh.Box, margin float64) (low, high [3]int32) {
	at := func(v, from, size float64) int32 { return int32(math.Floor((v - from) / size)) }
	low = [3]int32{at(b.Min.X, s.from.X, s.cell.X), at(b.Min.Y, s.from.Y, s.cell.Y), at(b.Min.Z-margin, s.from.Z, s.cell.Z)}
	high = [3]int32{at(b.Max.X, s.from.X, s.cell.X), at(b.Max.Y, s.from.Y, s.cell.Y), at(b.Max.Z+margin, s.from.Z, s.cell.Z)}
	return low, high
}

// each calls f for every cell of a span.
func each(low, high [3]int32, f func(cell [3]int32)) {
	for z := low[2]; z <= high[2]; z++ {
		for y := low[1]; y <= high[1]; y++ {
			for x := low[0]; x <= high[0]; x++ {
				f([3]int32{x, y, z})
			}
		}
	}
}

// insert lists a box under a number.
func (s *boxGrid) insert(n int32, b *mesh.Box) {
	low, high := s.span(b, 0)
	count := 1
	for k := range low {
		count *= int(high[k]-low[k]) + 1
	}
	if count > cellsPerBox {
		s.large = append(s.large, n)
		return
	}
	each(low, high, func(cell [3]int32) { s.cells[cell] = append(s.cells[cell], n) })
}

// first returns the lowest number for which fits holds, of the boxes that touch the given
// one or come near it in height; -1 where there is none.
func (s *boxGrid) first(b *mesh.Box, fits func(n int32) bool) int32 {
	best := int32(-1)
	look := func(list []int32) {
		for _, n := range list {
			if (best < 0 || n < best) && fits(n) {
				best = n
			}
		}
	}
	look(s.large)
	low, high := s.span(b, touch)
	each(low, high, func(cell [3]int32) { look(s.cells[cell]) })
	return best
}
