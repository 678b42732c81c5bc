package mesh

import (
	"cmp"
	"slices"
)

// findShells numbers the connected parts of the surface and sums up each.
func (m *Mesh) findShells(t *Topology) {
	t.Shell = make([]uint32, len(m.Tris))
	for i := range t.Shell {
		t.Shell[i] = None
	}
	var stack []uint32
	copies := t.Duplicate
	for i := range m.Tris {
		if len(copies) > 0 && copies[0] == uint32(i) {
			copies = copies[1:]
			continue
		}
		tri := m.Tris[i]
		if t.Shell[i] != None || tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
			continue
		}
		id := uint32(len(t.Shells))
		t.Shells = append(t.Shells, Shell{First: uint32(i), Box: EmptyBox(), Closed: true})
		t.Shell[i] = id
		stack = append(stack[:0], uint32(i))
		for len(stack) > 0 {
			at := 3 * stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, twin := range t.Twin[at : at+3] {
				if twin != None && t.Shell[twin/3] == None {
					t.Shell[twin/3] = id
					stack = append(stack, twin/3)
				}
			}
		}
	}
	m.sumShells(t)
	markOpen(t)
	m.markCrowded(t)
}

// sumShells adds up area, volume and box of each shell, triangle by triangle.
func (m *Mesh) sumShells(t *Topology) {
	o := m.Box().Middle()
	for i, id := range t.Shell {
		if id == None {
			continue
		}
		s := &t.Shells[id]
		a, b, c := m.Corners(i)
		s.Triangles++
		s.Area += b.Sub(a).Cross(c.Sub(a)).Len() / 2
		s.Volume += sixfold(a.Sub(o), b.Sub(o), c.Sub(o)) / 6
		s.Box.Include(a)
		s.Box.Include(b)
		s.Box.Include(c)
	}
}

// markOpen takes the mark of a closed shell away where an edge has no neighbour or
// one that is wound the wrong way round.
func markOpen(t *Topology) {
	for _, h := range t.Open {
		s := &t.Shells[t.Shell[h/3]]
		s.Open++
		s.Closed = false
	}
	for _, h := range t.Reversed {
		t.Shells[t.Shell[h/3]].Closed = false
	}
}

// markCrowded takes the mark of a closed shell away where the shell does not run
// through a crowded edge as often one way as the other.
func (m *Mesh) markCrowded(t *Topology) {
	var buf []uint32
	for i := range t.CrowdedEdges() {
		buf = append(buf[:0], t.CrowdedEdge(i)...)
		slices.SortFunc(buf, func(a, b uint32) int { return cmp.Compare(t.Shell[a/3], t.Shell[b/3]) })
		for j := 0; j < len(buf); {
			id, sum := t.Shell[buf[j]/3], 0
			for j < len(buf) && t.Shell[buf[j]/3] == id {
				if from, to := m.Ends(buf[j]); from < to {
					sum++
				} else {
					sum--
				}
				j++
			}
			if sum != 0 {
				t.Shells[id].Closed = false
			}
		}
	}
}

// Ends returns the vertices that half-edge h runs from and to.
func (m *Mesh) Ends(h uint32) (from, to uint32) {
	tri := &m.Tris[h/3]
	return tri[h%3], tri[(h+1)%3]
}
