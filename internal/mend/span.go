package mend

import "container/heap"

// exactSides is the number of sides up to which all ways to span a hole are weighed;
// their number grows with the third power of it (judgement).
const exactSides = 64

// flushWeight is what a unit of area costs where it continues a face at the rim; one
// that lies elsewhere costs 1. So the edge between two faces is drawn on through a
// hole, instead of being cut off along the shortest way (judgement).
const flushWeight = 0.1

// exactly spans the cheapest of all sheets over a loop: cost[i][j] is that of the
// best one over the corners i to j, and by[i][j] the third corner of its triangle at
// the side from i to j (G. Klincsek 1980, minimal triangulations of polygons).
func (h *hole) exactly() {
	n := len(h.loop)
	h.w.spend(stepCost * n * n * n / 3)
	cost := make([]float64, n*n)
	by := make([]int16, n*n)
	for gap := 2; gap < n; gap++ {
		for i := 0; i+gap < n; i++ {
			j := i + gap
			best, at := 0.0, -1
			for k := i + 1; k < j; k++ {
				c := cost[i*n+k] + cost[k*n+j] + h.price(i, k, j)
				if at < 0 || c < best {
					best, at = c, k
				}
			}
			cost[i*n+j], by[i*n+j] = best, int16(at)
		}
	}
	var add func(i, j int)
	add = func(i, j int) {
		if j-i < 2 {
			return
		}
		k := int(by[i*n+j])
		h.triangle(i, k, j)
		add(i, k)
		add(k, j)
	}
	add(0, n-1)
}

// price is what a triangle costs in mm2.
func (h *hole) price(i, j, k int) float64 {
	n := h.at[j].Sub(h.at[i]).Cross(h.at[k].Sub(h.at[i]))
	if h.flush(i, j, k, n) {
		return flushWeight * n.Len()
	}
	return n.Len()
}

// ear is a corner that can be cut off by the line between its neighbours.
type ear struct {
	length float64
	at     int
	stamp  int // out of date when the corner has another
}

type ears []ear

func (e ears) Len() int { return len(e) }
func (e ears) Less(i, j int) bool {
	return e[i].length < e[j].length || e[i].length == e[j].length && e[i].at < e[j].at
}
func (e ears) Swap(i, j int) { e[i], e[j] = e[j], e[i] }

// Push appends an ear, for container/heap.
func (e *ears) Push(x any) { *e = append(*e, x.(ear)) }

// Pop takes the last ear, for container/heap.
func (e *ears) Pop() any {
	old := *e
	x := old[len(old)-1]
	*e = old[:len(old)-1]
	return x
}

// zip spans a long loop by cutting off, again and again, the corner whose neighbours
// are nearest to each other: a slit closes like a zip.
func (h *hole) zip() {
	n := len(h.loop)
	h.w.spend(30 * stepCost * n)
	prev, next, stamp := make([]int, n), make([]int, n), make([]int, n)
	queue := make(ears, 0, 2*n)
	length := func(i int) float64 { return h.at[prev[i]].Sub(h.at[next[i]]).Len() }
	for i := range n {
		prev[i], next[i] = (i+n-1)%n, (i+1)%n
		queue = append(queue, ear{length(i), i, 0})
	}
	heap.Init(&queue)
	for left := n; left > 2; {
		e := heap.Pop(&queue).(ear)
		if e.stamp != stamp[e.at] {
			continue
		}
		i, a, b := e.at, prev[e.at], next[e.at]
		h.triangle(a, i, b)
		next[a], prev[b], stamp[i] = b, a, -1
		left--
		for _, k := range [2]int{a, b} {
			stamp[k]++
			heap.Push(&queue, ear{length(k), k, stamp[k]})
		}
	}
}
