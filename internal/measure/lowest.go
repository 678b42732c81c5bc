package measure

import (
	"math"

	"printlint/internal/mesh"
)

// lowFinder finds triangles by their middle, seen from above: a grid of squares of
// equal side that hold a few triangles each.
type lowFinder struct {
	m          *mesh.Mesh
	x0, y0     float64
	side       float64
	cols, rows int
	heads      []int32 // where the triangles of each square begin in list
	list       []uint32
}

func newLowFinder(m *mesh.Mesh) *lowFinder {
	box := m.Box()
	w, h := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y
	f := &lowFinder{m: m, x0: box.Min.X, y0: box.Min.Y}
	f.side = max(math.Sqrt(float64(w*h)*4/float64(len(m.Tris))), max(w, h)/1024, 1e-9)
	f.cols, f.rows = int(w/f.side)+1, int(h/f.side)+1
	f.heads = make([]int32, f.cols*f.rows+1)
	at := make([]int32, len(m.Tris))
	for i := range m.Tris {
		mid, _ := f.place(uint32(i))
		at[i] = int32(f.row(mid.Y)*f.cols + f.col(mid.X))
		f.heads[at[i]+1]++
	}
	for i := range f.cols * f.rows {
		f.heads[i+1] += f.heads[i]
	}
	next := append([]int32(nil), f.heads...)
	f.list = make([]uint32, len(m.Tris))
	for i, a := range at {
		f.list[next[a]] = uint32(i)
		next[a]++
	}
	return f
}

// place is the middle of a triangle and the height of its lowest corner.
func (f *lowFinder) place(tri uint32) (mid mesh.Vec, low float64) {
	a, b, c := f.m.Corners(int(tri))
	return a.Add(b).Add(c).Scale(1.0 / 3), min(a.Z, b.Z, c.Z)
}

func (f *lowFinder) col(x float64) int { return min(max(int((x-f.x0)/f.side), 0), f.cols-1) }
func (f *lowFinder) row(y float64) int { return min(max(int((y-f.y0)/f.side), 0), f.rows-1) }

// nearest finds the triangle whose lowest corner is nearest to a point, heights
// counting four times, and the height of that corner; of equals the first.
func (f *lowFinder) nearest(at mesh.Vec, height float64) (tri uint32, z float64) {
	best := math.Inf(1)
	z = at.Z
	look := func(square int) {
		for _, t := range f.list[f.heads[square]:f.heads[square+1]] {
			mid, low := f.place(t)
			dx, dy, dz := mid.X-at.X, mid.Y-at.Y, low-at.Z
			d := float64(dx*dx) + float64(dy*dy) + 16*float64(dz*dz)
			if d < best || d == best && t < tri {
				best, tri = d, t
				z = min(max(low, at.Z-height), at.Z+height)
			}
		}
	}
	col, row := f.col(at.X), f.row(at.Y)
	for ring := range max(f.cols, f.rows) {
		// Whatever lies in this ring is at least ring - 1 sides away: one is spared for
		// where in its square the point lies, and for rounding.
		if gap := float64(ring-1) * f.side * (1 - 1e-9); ring > 1 && float64(gap*gap) > best {
			break
		}
		f.ring(col, row, ring, look)
	}
	return tri, z
}

// ring calls look for the squares that are ring squares away from one.
func (f *lowFinder) ring(col, row, ring int, look func(square int)) {
	for r := max(row-ring, 0); r <= min(row+ring, f.rows-1); r++ {
		step := 1
		if r != row-ring && r != row+ring {
			step = max(2*ring, 1)
		}
		for c := col - ring; c <= col+ring; c += step {
			if c >= 0 && c < f.cols {
				look(r*f.cols + c)
			}
		}
	}
}
