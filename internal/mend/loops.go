package mend

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/mesh"
)

// side is an edge of a hole, in the direction in which a sheet over the hole has to
// run through it, and the triangle beside it.
type side struct{ from, to, tri uint32 }

// sidesOf lists the edges that do not add up, each as often as it lacks a triangle.
func (w *mending) sidesOf(r *rims) []side {
	var list []side
	for i := range r.list {
		e := &r.list[i]
		s := side{e.high, e.low, w.continued(r, e)}
		if e.net < 0 {
			s.from, s.to = e.low, e.high
		}
		for range abs(e.net) {
			list = append(list, s)
		}
	}
	slices.SortFunc(list, func(a, b side) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	return list
}

// continued is the triangle that a sheet beyond a rim continues: one that runs through
// it the way that is run through too often.
func (w *mending) continued(r *rims, e *rim) uint32 {
	m := w.mesh()
	for _, h := range r.halves[e.at[0]:e.at[1]] {
		if t := w.tris[h/3]; t[0] == t[1] {
			continue
		}
		for k := range uint32(3) {
			from, to := m.Ends(h - h%3 + k)
			if e.net > 0 && from == e.low && to == e.high || e.net < 0 && from == e.high && to == e.low {
				return h / 3
			}
		}
	}
	return r.halves[e.at[0]] / 3
}

// loops cuts the sides into loops that pass each vertex once. They come out even, for
// as many sides begin at a vertex as end there.
func (w *mending) loops(sides []side) [][]side {
	heads := make([]uint32, len(w.verts)+1)
	for _, s := range sides {
		heads[s.from+1]++
	}
	for v := range w.verts {
		heads[v+1] += heads[v]
	}
	l := &looper{w: w, sides: sides, heads: heads, used: make([]bool, len(sides)), place: make([]int32, len(w.verts))}
	for i := range sides {
		if !l.used[i] {
			l.walk(uint32(i))
		}
	}
	return l.found
}

// looper walks along the sides.
type looper struct {
	w     *mending
	sides []side
	heads []uint32
	used  []bool
	place []int32 // of each vertex: 1 + where the path left it, or 0
	path  []side
	found [][]side
}

// walk follows the sides from one on, and cuts a loop off whenever the path comes back
// to a vertex it has passed.
func (l *looper) walk(start uint32) {
	l.path = l.path[:0]
	for at := start; ; {
		s := l.sides[at]
		l.used[at] = true
		l.path = append(l.path, s)
		l.place[s.from] = int32(len(l.path))
		if p := l.place[s.to]; p > 0 {
			loop := slices.Clone(l.path[p-1:])
			for _, x := range loop {
				l.place[x.from] = 0
			}
			l.path = l.path[:p-1]
			l.found = append(l.found, loop)
			if len(l.path) == 0 {
				return
			}
			s = l.path[len(l.path)-1]
		}
		next := l.next(s)
		if next == mesh.None {
			for _, x := range l.path {
				l.place[x.from] = 0
			}
			return
		}
		at = next
	}
}

// next is the unused side that begins where s ends; of several, the one that turns
// back most sharply, which closes the smaller hole.
func (l *looper) next(s side) uint32 {
	l.w.spend(stepCost * int(l.heads[s.to+1]-l.heads[s.to]))
	best, sharpest := mesh.None, math.Inf(-1)
	back := l.w.at(s.from).Sub(l.w.at(s.to)).Unit()
	for i := l.heads[s.to]; i < l.heads[s.to+1]; i++ {
		if l.used[i] {
			continue
		}
		out := l.w.at(l.sides[i].to).Sub(l.w.at(s.to)).Unit()
		if d := back.Dot(out); d > sharpest {
			best, sharpest = i, d
		}
	}
	return best
}
