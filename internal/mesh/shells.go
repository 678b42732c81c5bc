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
	var f flood
	copies := t.Duplicate
	for i := range m.Tris {
		if len(copies) > 0 && copies[0] == uint32(i) {
			copies = copies[1:]
			continue
		}
		tri := &m.Tris[i]
		if t.Shell[i] != None || tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
			continue
		}
		t.Shells = append(t.Shells, Shell{First: uint32(i), Box: EmptyBox(), Closed: true})
		f.run(t, uint32(i))
	}
	m.sumShells(t)
	markOpen(t)
	m.markCrowded(t)
}

// flood numbers the triangles that hang together, ring by ring.
type flood struct{ ring, next []uint32 }

// run gives the number of the last shell to all triangles that hang together with one.
func (f *flood) run(t *Topology, first uint32) {
	id, shell := uint32(len(t.Shells)-1), t.Shell
	shell[first] = id
	f.ring = append(f.ring[:0], first)
	for len(f.ring) > 0 {
		if most := 3 * len(f.ring); cap(f.next) < most {
			f.next = make([]uint32, most+most/2)
		}
		next, n := f.next[:cap(f.next)], 0
		for _, i := range f.ring {
			at := 3 * i
			for _, twin := range t.Twin[at : at+3 : at+3] {
				if twin == None {
					continue
				}
				// Whether a neighbour is new is as good as chance, so it is written down
				// all the same and kept by counting it.
				i := twin / 3
				fresh := 0
				if shell[i] == None {
					fresh = 1
				}
				shell[i] = id
				next[n] = i
				n += fresh
			}
		}
		f.ring, f.next = next[:n], f.ring
	}
}

// sumShells adds up area, volume and box of each shell, triangle by triangle, and lists
// the triangles whose area is exactly zero.
func (m *Mesh) sumShells(t *Topology) {
	o := m.Box().Middle()
	for i, id := range t.Shell {
		tri := &m.Tris[i]
		p, q, r := m.Verts[tri[0]], m.Verts[tri[1]], m.Verts[tri[2]]
		a, b, c := Of64(p), Of64(q), Of64(r)
		n, sure := crossOf(b.Sub(a), c.Sub(a))
		if !sure && m.IsZero(i) {
			t.Zero = append(t.Zero, uint32(i))
		}
		if id == None {
			continue
		}
		s := &t.Shells[id]
		s.Triangles++
		s.Area += n.Len() / 2
		s.Volume += sixfold(a.Sub(o), b.Sub(o), c.Sub(o)) / 6
		s.Box.hold(a)
		s.Box.hold(b)
		s.Box.hold(c)
	}
}

// hold is Include for a point that is most often inside already.
func (b *Box) hold(p Vec) {
	if p.X < b.Min.X || p.Y < b.Min.Y || p.Z < b.Min.Z || p.X > b.Max.X || p.Y > b.Max.Y || p.Z > b.Max.Z {
		b.Include(p)
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
