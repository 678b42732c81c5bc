package thin

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// cluster joins samples that are at most near apart, directly or over others. It
// returns the groups in the order of their first sample, each ascending.
//
// A grid holds them whose cells are so small that all within one are near. So only
// whole cells need to be joined, and two cells are as soon as one pair is near.
func cluster(samples []Sample, use []uint32, near float64) [][]uint32 {
	if len(use) == 0 {
		return nil
	}
	g := newGrid(samples, use, near)
	for c := range g.starts[:len(g.starts)-1] {
		for dz := -reach; dz <= reach; dz++ {
			for dy := -reach; dy <= reach; dy++ {
				for dx := -reach; dx <= reach; dx++ {
					if dz > 0 || dz == 0 && (dy > 0 || dy == 0 && dx > 0) {
						g.try(uint32(c), [3]int32{int32(dx), int32(dy), int32(dz)})
					}
				}
			}
		}
	}
	return g.groups()
}

// reach is how many cells away a near sample can be: cells have a side of near over
// the square root of three.
const reach = 2

type grid struct {
	samples []Sample
	near2   float64
	list    []placed // sorted by cell
	starts  []uint32 // where each cell begins in the list
	slots   []uint32 // open addressing from cells to their number + 1
	mask    uint64
	sets    geom.Sets[uint32] // of cells
}

type placed struct {
	cell [3]int32
	use  uint32
}

// compare sorts by cell and then by number. It is asked more often than anything else here,
// and most of the time the first or the second difference tells.
func (p placed) compare(q placed) int {
	switch {
	case p.cell[2] != q.cell[2]:
		return cmp.Compare(p.cell[2], q.cell[2])
	case p.cell[1] != q.cell[1]:
		return cmp.Compare(p.cell[1], q.cell[1])
	case p.cell[0] != q.cell[0]:
		return cmp.Compare(p.cell[0], q.cell[0])
	}
	return cmp.Compare(p.use, q.use)
}

func newGrid(samples []Sample, use []uint32, near float64) *grid {
	g := &grid{samples: samples, near2: near * near, list: make([]placed, len(use))}
	box := mesh.EmptyBox()
	for _, i := range use {
		box.Include(samples[i].At)
	}
	size := near / math.Sqrt(3) * (1 - 1e-9)
	for k, i := range use {
		v := samples[i].At.Sub(box.Min)
		g.list[k] = placed{[3]int32{int32(v.X / size), int32(v.Y / size), int32(v.Z / size)}, i}
	}
	slices.SortFunc(g.list, placed.compare)
	for i := range g.list {
		if i == 0 || g.list[i].cell != g.list[i-1].cell {
			g.starts = append(g.starts, uint32(i))
		}
	}
	g.sets = g.sets.Grow(len(g.starts))
	size2 := 4
	for size2 < 2*len(g.starts) {
		size2 *= 2
	}
	g.slots, g.mask = make([]uint32, size2), uint64(size2-1)
	for c, at := range g.starts {
		i := hashCell(g.list[at].cell) & g.mask
		for g.slots[i] != 0 {
			i = (i + 1) & g.mask
		}
		g.slots[i] = uint32(c) + 1
	}
	g.starts = append(g.starts, uint32(len(g.list)))
	return g
}

func hashCell(c [3]int32) uint64 {
	h := uint64(uint32(c[0]))*0x9e3779b97f4a7c15 ^ uint64(uint32(c[1]))*0xc2b2ae3d27d4eb4f ^ uint64(uint32(c[2]))*0x165667b19e3779f9
	return h ^ h>>29
}

// try joins a cell to the one some steps away, if there is one and they are near.
func (g *grid) try(c uint32, step [3]int32) {
	a := g.list[g.starts[c]:g.starts[c+1]]
	want := a[0].cell
	for k := range want {
		want[k] += step[k]
	}
	d, ok := g.find(want)
	if !ok || g.sets.Root(c) == g.sets.Root(d) {
		return
	}
	if g.anyNear(a, g.list[g.starts[d]:g.starts[d+1]]) {
		g.sets.Join(c, d)
	}
}

// find returns the number of a cell, if there is one.
func (g *grid) find(want [3]int32) (c uint32, ok bool) {
	for i := hashCell(want) & g.mask; g.slots[i] != 0; i = (i + 1) & g.mask {
		c = g.slots[i] - 1
		if g.list[g.starts[c]].cell == want {
			return c, true
		}
	}
	return 0, false
}

// bruteForce is up to how many pairs are simply held against each other.
const bruteForce = 256

// anyNear says whether a sample of one list is near one of the other. Long lists are cut in
// two until their boxes tell: thousands may lie in one cell.
func (g *grid) anyNear(a, b []placed) bool {
	if len(a)*len(b) <= bruteForce {
		for i := range a {
			for j := range b {
				d := g.samples[a[i].use].At.Sub(g.samples[b[j].use].At)
				if d.Dot(d) <= g.near2 {
					return true
				}
			}
		}
		return false
	}
	p, q := g.box(a), g.box(b)
	least, most := apart(&p, &q)
	if least > g.near2*(1+1e-9) {
		return false
	}
	if most <= g.near2*(1-1e-9) {
		return true
	}
	if len(a) < len(b) {
		a, b, p = b, a, q
	}
	mid := g.halve(a, p.Size())
	return g.anyNear(a[:mid], b) || g.anyNear(a[mid:], b)
}

func (g *grid) box(list []placed) mesh.Box {
	box := mesh.EmptyBox()
	for i := range list {
		box.Include(g.samples[list[i].use].At)
	}
	return box
}

// apart is the square of the least and the most that points of two boxes can be apart.
func apart(p, q *mesh.Box) (least, most float64) {
	for _, s := range [3][4]float64{
		{p.Min.X, p.Max.X, q.Min.X, q.Max.X}, {p.Min.Y, p.Max.Y, q.Min.Y, q.Max.Y}, {p.Min.Z, p.Max.Z, q.Min.Z, q.Max.Z},
	} {
		gap, reach := max(s[2]-s[1], s[0]-s[3], 0), max(s[3]-s[0], s[1]-s[2])
		least += float64(gap * gap)
		most += float64(reach * reach)
	}
	return least, most
}

// halve sorts a list along the longest side of its box and returns where to cut it.
func (g *grid) halve(list []placed, size mesh.Vec) int {
	along := func(v mesh.Vec) float64 {
		switch max(size.X, size.Y, size.Z) {
		case size.X:
			return v.X
		case size.Y:
			return v.Y
		}
		return v.Z
	}
	slices.SortFunc(list, func(a, b placed) int {
		return cmp.Compare(along(g.samples[a.use].At), along(g.samples[b.use].At))
	})
	return len(list) / 2
}

func (g *grid) groups() [][]uint32 {
	order, heads := g.sets.Members()
	groups := make([][]uint32, len(heads)-1)
	for k := range groups {
		for _, c := range order[heads[k]:heads[k+1]] {
			for _, p := range g.list[g.starts[c]:g.starts[c+1]] {
				groups[k] = append(groups[k], p.use)
			}
		}
	}
	for _, group := range groups {
		slices.Sort(group)
	}
	slices.SortFunc(groups, func(a, b []uint32) int { return cmp.Compare(a[0], b[0]) })
	return groups
}
