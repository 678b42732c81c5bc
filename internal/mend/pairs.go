package mend

import (
	"cmp"
	"slices"

	"printlint/internal/mesh"
)

// facing is a triangle by its corners in rising order, and whether their order in the
// triangle is the even one.
type facing struct {
	corners mesh.Tri
	even    bool
	tri     uint32
}

// pairs lists the triangles that lie back to back with another: the same corners, the
// other way round. Together they bound nothing, be it a sheet without thickness or the
// faces in which two bodies touch. Only where an edge has more than two triangles, or
// a shell has but two, can there be any.
func pairs(m *mesh.Mesh, t *mesh.Topology) []uint32 {
	var some []uint32
	for _, h := range t.Crowded {
		some = append(some, h/3)
	}
	for i := range t.Shells {
		if s := &t.Shells[i]; s.Triangles == 2 && s.Closed {
			for h := 3 * s.First; h < 3*s.First+3; h++ {
				if t.Twin[h] != mesh.None {
					some = append(some, s.First, t.Twin[h]/3)
				}
			}
		}
	}
	slices.Sort(some)
	some = slices.Compact(some)
	list := make([]facing, len(some))
	for i, tri := range some {
		list[i] = facingOf(m.Tris[tri], tri)
	}
	slices.SortFunc(list, func(a, b facing) int {
		return cmp.Or(slices.Compare(a.corners[:], b.corners[:]), cmp.Compare(a.tri, b.tri))
	})
	var out []uint32
	for i := 0; i < len(list); {
		j := i
		for j < len(list) && list[j].corners == list[i].corners {
			j++
		}
		out = cancel(list[i:j], out)
		i = j
	}
	return out
}

// cancel appends as many triangles of one winding as of the other.
func cancel(same []facing, out []uint32) []uint32 {
	even := 0
	for _, f := range same {
		if f.even {
			even++
		}
	}
	left := [2]int{min(even, len(same)-even), min(even, len(same)-even)}
	for _, f := range same {
		k := 0
		if f.even {
			k = 1
		}
		if left[k] > 0 {
			left[k]--
			out = append(out, f.tri)
		}
	}
	return out
}

func facingOf(t mesh.Tri, tri uint32) facing {
	f := facing{corners: t, even: true, tri: tri}
	for _, swap := range [3][2]int{{0, 1}, {1, 2}, {0, 1}} {
		if a, b := &f.corners[swap[0]], &f.corners[swap[1]]; *a > *b {
			*a, *b = *b, *a
			f.even = !f.even
		}
	}
	return f
}
