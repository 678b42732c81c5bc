package measure

import (
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
	"printlint/internal/work"
)

// edges makes a site of every group of faulty edges that hang together at their ends.
// Edge i is that of half-edge halves[i]; more says which other half-edges run along it,
// and count says so many edges as the fault they are.
func (h *collector) edges(halves []uint32, count func(n int) EdgeFaults, more func(i int) []uint32) {
	n := len(halves)
	if n == 0 {
		return
	}
	group := geom.Sets[uint32](nil).Grow(n)
	ends := make([]uint64, 0, 2*n) // vertex and edge
	for i, half := range halves {
		a, b := h.mesh.Ends(half)
		ends = append(ends, uint64(a)<<32|uint64(i), uint64(b)<<32|uint64(i))
	}
	slices.Sort(ends)
	for i := 1; i < len(ends); i++ {
		if ends[i]>>32 == ends[i-1]>>32 {
			group.Join(uint32(ends[i]), uint32(ends[i-1]))
		}
	}
	order, starts := group.Members()
	for g := range starts[:len(starts)-1] {
		box, length := mesh.EmptyBox(), 0.0
		var tris []uint32
		members := order[starts[g]:starts[g+1]]
		for _, i := range members {
			a, b := h.mesh.Ends(halves[i])
			p, q := mesh.Of64(h.mesh.Verts[a]), mesh.Of64(h.mesh.Verts[b])
			box.Include(p)
			box.Include(q)
			length += q.Sub(p).Len()
			tris = append(tris, halves[i]/3)
			for _, other := range more(int(i)) {
				tris = append(tris, other/3)
			}
		}
		slices.Sort(tris)
		tris = slices.Compact(tris)
		h.site(MeshSite{Length: length, EdgeFaults: count(len(members))}, box.Middle(), box, tris)
	}
}

// crowded makes sites of the edges with more than two triangles.
func (h *collector) crowded(t *mesh.Topology) {
	halves := make([]uint32, t.CrowdedEdges())
	for i := range halves {
		halves[i] = t.CrowdedEdge(i)[0]
	}
	h.edges(halves, func(n int) EdgeFaults { return EdgeFaults{Crowded: n} }, func(i int) []uint32 {
		e := t.CrowdedEdge(i)
		return e[1:]
	})
}

// insideOut lists the closed shells that are wound inside out. A cavity is wound so
// by right: it takes away from a solid around it, so on the side its normals point to
// there is nothing, and on the other there is something. Each ray may pass all others, so
// the tally is told.
func insideOut(m *mesh.Mesh, t *mesh.Topology, tree *spatial.Tree, tally *work.Tally) []uint32 {
	largest := make([]uint32, len(t.Shells))
	size := make([]float64, len(t.Shells))
	found := false
	for i := range t.Shells {
		found = found || t.Shells[i].Closed && t.Shells[i].Volume < 0
	}
	if !found {
		return nil
	}
	for i, s := range t.Shell {
		if s == mesh.None || t.Shells[s].Volume >= 0 {
			continue
		}
		if a := m.Normal(i).Len(); a > size[s] {
			size[s], largest[s] = a, uint32(i)
		}
	}
	var list []uint32
	q := spatial.Query{Tree: tree}
	for s := range t.Shells {
		if !t.Shells[s].Closed || t.Shells[s].Volume >= 0 || size[s] == 0 {
			continue
		}
		a, b, c := m.Corners(int(largest[s]))
		n := m.Normal(int(largest[s])).Unit()
		p := a.Add(b).Add(c).Scale(1. / 3).Add(n.Scale(4 * tree.Resolution()))
		if q.Winding(p, n) < 0 {
			list = append(list, uint32(s))
		}
		if !tally.Add(q.Cost) {
			break
		}
		q.Cost = 0
	}
	return list
}
