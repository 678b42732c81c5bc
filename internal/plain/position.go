package plain

import (
	"math"
	"slices"

	"printlint/internal/mesh"
)

// Position is where a model lies: its lowest point, the middle of its box, and how many
// parts stand apart seen from above, with the widest gap that must be crossed between them.
type Position struct {
	Lift, X, Y float64
	Parts      int
	Apart      float64
}

// Locate finds the position of a model. Parts are triangles that share a corner; the gap is
// the smallest length such that steps of that length lead from each part to all others.
func Locate(s *mesh.Triangles) Position {
	owner := map[mesh.Point]int{}
	group := make([]int, s.Count())
	for t := range group {
		group[t] = t
	}
	rename := func(from, to int) {
		for t := range group {
			if group[t] == from {
				group[t] = to
			}
		}
	}
	for i, p := range s.Corners {
		if first, known := owner[p]; known {
			rename(group[i/3], group[first])
		} else {
			owner[p] = i / 3
		}
	}
	low, high := [3]float64{}, [3]float64{}
	boxes := map[int]*[4]float64{}
	for i, p := range s.Corners {
		x, y := float64(p[0]), float64(p[1])
		b := boxes[group[i/3]]
		if b == nil {
			b = &[4]float64{x, y, x, y}
			boxes[group[i/3]] = b
		}
		*b = [4]float64{min(b[0], x), min(b[1], y), max(b[2], x), max(b[3], y)}
		for a, v := range p {
			if i == 0 {
				low[a], high[a] = float64(v), float64(v)
			}
			low[a], high[a] = min(low[a], float64(v)), max(high[a], float64(v))
		}
	}
	var list [][4]float64
	for _, b := range boxes {
		list = append(list, *b)
	}
	p := Position{Lift: low[2], X: (low[0] + high[0]) / 2, Y: (low[1] + high[1]) / 2, Parts: groups(list, 0)}
	var gaps []float64
	for i := range list {
		for j := range i {
			gaps = append(gaps, between4(list[i], list[j]))
		}
	}
	slices.Sort(gaps)
	for _, g := range gaps {
		if groups(list, g) == 1 {
			p.Apart = g
			break
		}
	}
	return p
}

// between4 is the distance of two boxes in the plane.
func between4(a, b [4]float64) float64 {
	return math.Hypot(max(0, a[0]-b[2], b[0]-a[2]), max(0, a[1]-b[3], b[1]-a[3]))
}

// groups counts what hangs together by steps up to a length.
func groups(list [][4]float64, step float64) (n int) {
	seen := make([]bool, len(list))
	for i := range list {
		if seen[i] {
			continue
		}
		n++
		seen[i] = true
		for open := []int{i}; len(open) > 0; open = open[1:] {
			for j := range list {
				if !seen[j] && between4(list[open[0]], list[j]) <= step {
					seen[j] = true
					open = append(open, j)
				}
			}
		}
	}
	return n
}
