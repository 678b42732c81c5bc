package plain

import "math"

// hop is a step from one column to another near it.
type hop struct {
	dx, dy int
	mm     float64
}

// hops are steps in sixteen directions: a path of them is at most 3 % too long (computed).
var hops = func() (list []hop) {
	for _, d := range [][2]int{{1, 0}, {1, 1}, {2, 1}, {1, 2}} {
		x, y := d[0], d[1]
		for range 4 {
			list = append(list, hop{x, y, math.Hypot(float64(x), float64(y)) * cell})
			x, y = -y, x
		}
	}
	return list
}()

// mark is a column that waits for its turn, the cheapest first.
type mark struct {
	c    int
	cost float64
}

// queue is a heap of them.
type queue []mark

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].cost < q[j].cost || q[i].cost == q[j].cost && q[i].c < q[j].c
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(mark)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
