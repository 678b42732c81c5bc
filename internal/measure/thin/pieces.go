package thin

import (
	"cmp"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// pieces numbers the parts of a thin surface that hang together: triangles that share a
// corner, or lie opposite each other. Pins side by side are a piece each, however near
// they stand. It returns the piece of each sample used, in their order.
func pieces(m *mesh.Mesh, samples []Sample, use []uint32) []uint32 {
	var tris []uint32
	for _, i := range use {
		tris = append(tris, samples[i].Tri, samples[i].Opposite)
	}
	slices.Sort(tris)
	tris = slices.Compact(tris)
	number := func(tri uint32) uint32 {
		n, _ := slices.BinarySearch(tris, tri)
		return uint32(n)
	}
	sets := geom.Sets[uint32](nil).Grow(len(tris))
	type corner struct{ vertex, tri uint32 }
	corners := make([]corner, 0, 3*len(tris))
	for n, t := range tris {
		for _, v := range m.Tris[t] {
			corners = append(corners, corner{v, uint32(n)})
		}
	}
	slices.SortFunc(corners, func(a, b corner) int {
		return cmp.Or(cmp.Compare(a.vertex, b.vertex), cmp.Compare(a.tri, b.tri))
	})
	for i := 1; i < len(corners); i++ {
		if corners[i].vertex == corners[i-1].vertex {
			sets.Join(corners[i].tri, corners[i-1].tri)
		}
	}
	for _, i := range use {
		sets.Join(number(samples[i].Tri), number(samples[i].Opposite))
	}
	out := make([]uint32, len(use))
	for k, i := range use {
		out[k] = sets.Root(number(samples[i].Tri))
	}
	return out
}
