package layers

import "printlint/internal/geom"

// Cells is how many cells runs hold.
func Cells(runs []Run) (n int) {
	for _, r := range runs {
		n += int(r.To - r.From)
	}
	return n
}

// EachOverlap calls f for every pair of runs, one of each list, that share a cell.
func EachOverlap(as, bs []Run, f func(a, b int)) { EachNear(as, bs, 0, f) }

// EachNear calls f for every pair of runs, one of each list, that come within reach
// cells of each other, in either direction; at 1 those are the ones that touch, corners
// included. Both lists are sorted by row and start.
func EachNear(as, bs []Run, reach int32, f func(a, b int)) {
	for d := -reach; d <= reach; d++ {
		j := 0
		for i := range as {
			a := &as[i]
			row := a.Row + d
			for j < len(bs) && (bs[j].Row < row || bs[j].Row == row && bs[j].To+reach <= a.From) {
				j++
			}
			for n := j; n < len(bs) && bs[n].Row == row && bs[n].From < a.To+reach; n++ {
				f(i, n)
			}
		}
	}
}

// Label joins the runs of one plane that touch, corners included, and returns the
// sets, the number of them, and how many holes there are in all: bodies of empty cells
// that cells of the sets shut in, seen sideways only.
func Label(runs []Run, s geom.Sets[int32]) (sets geom.Sets[int32], count, holes int) {
	s = s[:0].Grow(len(runs))
	touches := 0
	EachTouchInside(runs, func(a, b int) {
		touches++
		s.Join(int32(a), int32(b))
	})
	for i := range s {
		if s.Root(int32(i)) == int32(i) {
			count++
		}
	}
	// Runs and their touches are a plane graph, in which Euler's formula counts the
	// faces: each but the outer one is a hole.
	return s, count, touches - len(runs) + count
}

// EachTouchInside calls f for every two runs of one plane that touch, corners
// included, the upper row's first; the list is sorted by row and start. Runs of one row
// never touch, or they were one.
func EachTouchInside(runs []Run, f func(a, b int)) {
	before := 0 // first run of the row before
	for i := 0; i < len(runs); {
		row, first := runs[i].Row, i
		j := before
		if runs[before].Row != row-1 {
			j = first
		}
		for ; i < len(runs) && runs[i].Row == row; i++ {
			for j < first && runs[j].To < runs[i].From {
				j++
			}
			for n := j; n < first && runs[n].From <= runs[i].To; n++ {
				f(i, n)
			}
		}
		before = first
	}
}
