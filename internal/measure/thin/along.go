package thin

import (
	"container/heap"
	"math"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// stretch is the samples of one cell of the grid, as a node of the way along a place.
type stretch struct {
	at    mesh.Vec // mean of its samples
	area  float64  // mm2, of both surfaces
	way   float64  // mm from the end of the place, over other nodes
	final bool     // way is the shortest there is
}

// along is how long a place is when its bends are followed, from the sample a to the
// sample b: the ring of a rim is as long as its circumference, though its ends are
// nowhere. The way from a is cut into bands, and of each band every branch counts: what
// lies in one band and does not hang together there. A branch counts by its share, so that
// specks of the outline are none.
func along(samples []Sample, group []uint32, a, b *Sample, near float64) float64 {
	w := newWays(samples, group, near)
	w.from(a.At)
	last := w.nodes[0].at
	for i := range w.nodes {
		if w.nodes[i].at.Sub(b.At).Len() < last.Sub(b.At).Len() {
			last = w.nodes[i].at
		}
	}
	return w.length(near) + last.Sub(b.At).Len() + (math.Sqrt(a.Area)+math.Sqrt(b.Area))/2
}

// ways holds the nodes of a place and the order in which they are reached.
type ways struct {
	grid  *grid
	nodes []stretch
	far   float64 // mm up to which two nodes hang together
	queue []reached
}

type reached struct {
	way  float64
	node uint32
}

func newWays(samples []Sample, group []uint32, near float64) *ways {
	g := newGrid(samples, group, near)
	// The means of two cells next to each other are at most 1.42 times near apart.
	w := &ways{grid: g, nodes: make([]stretch, len(g.starts)-1), far: 1.5 * near}
	for c := range w.nodes {
		n, list := &w.nodes[c], g.list[g.starts[c]:g.starts[c+1]]
		n.way = math.Inf(1)
		for i := range list {
			s := &samples[list[i].use]
			n.at, n.area = n.at.Add(s.At), n.area+s.Area
		}
		n.at = n.at.Scale(1 / float64(len(list)))
	}
	return w
}

// from finds the shortest way to each node from the one nearest to a point. What no
// way leads to begins anew at its first node.
func (w *ways) from(p mesh.Vec) {
	first := 0
	for i := range w.nodes {
		if w.nodes[i].at.Sub(p).Len() < w.nodes[first].at.Sub(p).Len() {
			first = i
		}
	}
	w.spread(uint32(first), w.nodes[first].at.Sub(p).Len())
	for i := range w.nodes {
		if !w.nodes[i].final {
			w.spread(uint32(i), 0)
		}
	}
}

func (w *ways) spread(first uint32, way float64) {
	w.nodes[first].way = way
	heap.Push(w, reached{way, first})
	for len(w.queue) > 0 {
		c := heap.Pop(w).(reached).node
		n := &w.nodes[c]
		if n.final {
			continue
		}
		n.final = true
		w.beside(c, func(d uint32, apart float64) {
			if o := &w.nodes[d]; !o.final && n.way+apart < o.way {
				o.way = n.way + apart
				heap.Push(w, reached{o.way, d})
			}
		})
	}
}

// beside calls use with each node that hangs together with one, and how far it is.
func (w *ways) beside(c uint32, use func(d uint32, apart float64)) {
	at := w.grid.list[w.grid.starts[c]].cell
	for dz := int32(-reach); dz <= reach; dz++ {
		for dy := int32(-reach); dy <= reach; dy++ {
			for dx := int32(-reach); dx <= reach; dx++ {
				d, ok := w.grid.find([3]int32{at[0] + dx, at[1] + dy, at[2] + dz})
				if !ok || d == c {
					continue
				}
				if apart := w.nodes[d].at.Sub(w.nodes[c].at).Len(); apart <= w.far {
					use(d, apart)
				}
			}
		}
	}
}

// length adds up the branches of all bands.
func (w *ways) length(near float64) float64 {
	band := func(c uint32) int { return int(w.nodes[c].way / near) }
	most := 0.0
	sets := geom.Sets[uint32](nil).Grow(len(w.nodes))
	for c := range w.nodes {
		most = max(most, w.nodes[c].way)
		w.beside(uint32(c), func(d uint32, _ float64) {
			if band(d) == band(uint32(c)) {
				sets.Join(uint32(c), d)
			}
		})
	}
	areas := make([]float64, len(w.nodes)) // of branches, at their roots
	for c := range w.nodes {
		areas[sets.Root(uint32(c))] += w.nodes[c].area
	}
	sum, squares := make([]float64, int(most/near)+1), make([]float64, int(most/near)+1)
	for c, area := range areas {
		if area > 0 {
			sum[band(uint32(c))] += area
			squares[band(uint32(c))] += float64(area * area)
		}
	}
	length := 0.0
	for i := range sum {
		if squares[i] > 0 {
			length += float64(min(near, most-float64(float64(i)*near)) * (float64(sum[i]*sum[i]) / squares[i]))
		}
	}
	return length
}

// Len, Less, Swap, Push and Pop make the queue a heap; of ways as long, the lower node
// comes first.
func (w *ways) Len() int { return len(w.queue) }

func (w *ways) Less(i, j int) bool {
	a, b := w.queue[i], w.queue[j]
	return a.way < b.way || a.way == b.way && a.node < b.node
}

func (w *ways) Swap(i, j int) { w.queue[i], w.queue[j] = w.queue[j], w.queue[i] }

func (w *ways) Push(x any) { w.queue = append(w.queue, x.(reached)) }

func (w *ways) Pop() any {
	n := len(w.queue) - 1
	last := w.queue[n]
	w.queue = w.queue[:n]
	return last
}
