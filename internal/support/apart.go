package support

import (
	"math"

	"printlint/internal/mesh"
)

// apart leaves out places that lie mostly in one met before: two rules may speak of
// the same underside.
func apart(places []Place) []Place {
	var kept []Place
	s := newShelves(places)
	for i := range places {
		p := &places[i]
		box := &p.Below.Box
		first := s.first(box, func(k int32) bool {
			other := &kept[k].Below.Box
			return overlap(other, box) > 0.5*min(plan(other), plan(box)) && nearLevel(other, box)
		})
		if first < 0 {
			first = int32(len(kept))
			kept = append(kept, *p)
		} else if p.Below.Air > kept[first].Below.Air {
			kept[first] = *p
		} else {
			continue
		}
		s.put(first, box)
	}
	return kept
}

// shelves find the boxes near another: each lies in all shelves that it touches, or on the
// pile of those that touch many. Shelves are as large as boxes are on the average.
type shelves struct {
	from mesh.Vec
	size mesh.Vec // of a shelf
	in   map[[3]int32][]int32
	pile []int32
}

const (
	shelvesAcross = 64 // at most, along each axis
	shelvesMost   = 27 // that a box lies in
)

func newShelves(places []Place) *shelves {
	all, sum := mesh.EmptyBox(), mesh.Vec{}
	for i := range places {
		b := &places[i].Below.Box
		all.Include(b.Min)
		all.Include(b.Max)
		sum = sum.Add(b.Size())
	}
	s := &shelves{from: all.Min, in: map[[3]int32][]int32{}} // looked up, never walked
	least, mean := all.Size().Scale(1./shelvesAcross), sum.Scale(1/float64(max(len(places), 1)))
	s.size = mesh.Vec{X: max(least.X, mean.X, 1e-6), Y: max(least.Y, mean.Y, 1e-6), Z: max(least.Z, mean.Z, touch)}
	return s
}

// span is the shelves that a box touches, made larger by a margin along z.
func (s *shelves) span(b *mesh.Box, margin float64) (low, high [3]int32) {
	at := func(v, from, size float64) int32 { return int32(math.Floor((v - from) / size)) }
	low = [3]int32{at(b.Min.X, s.from.X, s.size.X), at(b.Min.Y, s.from.Y, s.size.Y), at(b.Min.Z-margin, s.from.Z, s.size.Z)}
	high = [3]int32{at(b.Max.X, s.from.X, s.size.X), at(b.Max.Y, s.from.Y, s.size.Y), at(b.Max.Z+margin, s.from.Z, s.size.Z)}
	return low, high
}

// each calls f for every shelf of a span.
func each(low, high [3]int32, f func(shelf [3]int32)) {
	for z := low[2]; z <= high[2]; z++ {
		for y := low[1]; y <= high[1]; y++ {
			for x := low[0]; x <= high[0]; x++ {
				f([3]int32{x, y, z})
			}
		}
	}
}

// put lays a box down under a number. It may be laid down again where it has changed.
func (s *shelves) put(n int32, b *mesh.Box) {
	low, high := s.span(b, 0)
	count := 1
	for k := range low {
		count *= int(high[k]-low[k]) + 1
	}
	if count > shelvesMost {
		s.pile = append(s.pile, n)
		return
	}
	each(low, high, func(shelf [3]int32) { s.in[shelf] = append(s.in[shelf], n) })
}

// first returns the lowest number for which fits holds, of the boxes that touch the given
// one or come near it in height; -1 where there is none.
func (s *shelves) first(b *mesh.Box, fits func(n int32) bool) int32 {
	best := int32(-1)
	look := func(list []int32) {
		for _, n := range list {
			if (best < 0 || n < best) && fits(n) {
				best = n
			}
		}
	}
	look(s.pile)
	low, high := s.span(b, touch)
	each(low, high, func(shelf [3]int32) { look(s.in[shelf]) })
	return best
}
