package hang

import "slices"

// tilts takes the steepest tilt and the triangles from the coverages. A patch without any is
// a line laid in the air below steeper sides, and hangs as a flat ceiling does.
func (w *weigher) tilts(p *Patch, share *share) {
	var cells [92]int64
	var sums [92]float64
	total := int64(0)
	share.ready(len(w.m.Tris))
	for _, i := range w.set.coverages {
		h := &w.c.coverages[i]
		bin := int(h.tilt)
		cells[bin] += int64(h.cells)
		sums[bin] += float64(float64(h.tilt) * float64(h.cells))
		total += int64(h.cells)
		share.add(h.tri, h.cells)
	}
	if total == 0 {
		p.Tilt = 90
	}
	seen := int64(0)
	for bin := len(cells) - 1; bin >= 0; bin-- {
		if seen += cells[bin]; cells[bin] > 0 && seen*20 > total {
			p.Tilt = sums[bin] / float64(cells[bin])
			break
		}
	}
	p.Tris = share.largest()
}

// share counts the cells of a patch by triangle.
type share struct {
	cells []int32  // by triangle, 0 for all but those met
	met   []uint64 // triangles; in the end each with its cells above, turned round
}

// ready makes room for the triangles of a mesh.
func (s *share) ready(triangles int) {
	if len(s.cells) < triangles {
		s.cells = make([]int32, triangles)
	}
}

// add counts cells, of which there are some.
func (s *share) add(tri uint32, cells int32) {
	if s.cells[tri] == 0 {
		s.met = append(s.met, uint64(tri))
	}
	s.cells[tri] += cells
}

// largest lists the triangles by the cells they share, largest first, and forgets
// them.
func (s *share) largest() []uint32 {
	for i, tri := range s.met {
		s.met[i] = uint64(^uint32(s.cells[tri]))<<32 | tri
		s.cells[tri] = 0
	}
	slices.Sort(s.met)
	list := make([]uint32, len(s.met))
	for i, m := range s.met {
		list[i] = uint32(m)
	}
	s.met = s.met[:0]
	return list
}
