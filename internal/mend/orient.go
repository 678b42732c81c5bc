package mend

import "printlint/internal/mesh"

// unsureShare is the share of the area of a shell beyond which the smaller side may be
// the one that was right (judgement).
const unsureShare = 0.2

// orient makes the triangles of each shell agree with each other: those of the smaller
// area turn. Where that cannot be, on a surface with one side only, edges stay twisted.
func (w *mending) orient() {
	if len(w.topo.Reversed) == 0 {
		return
	}
	side := w.sides()
	area := make([][2]float64, len(w.topo.Shells))
	for t, s := range w.topo.Shell {
		if s != mesh.None {
			area[s][side[t]] += w.normal(uint32(t)).Len()
		}
	}
	for s, a := range area {
		if min(a[0], a[1]) > unsureShare*(a[0]+a[1]) {
			w.unsure = append(w.unsure, w.topo.Shells[s].First)
		}
	}
	for t, s := range w.topo.Shell {
		if s == mesh.None {
			continue
		}
		small := uint8(0)
		if area[s][1] <= area[s][0] {
			small = 1
		}
		if side[t] == small {
			w.flip(uint32(t))
		}
	}
	w.refresh()
	w.Twisted = len(w.topo.Reversed)
}

// sides splits the triangles of each shell into two sides, so that triangles of one
// side agree over as many edges as can be.
func (w *mending) sides() []uint8 {
	const unknown = 2
	side := make([]uint8, len(w.tris))
	for i := range side {
		side[i] = unknown
	}
	m := w.mesh()
	var queue []uint32
	for i := range w.tris {
		if side[i] != unknown || w.topo.Shell[i] == mesh.None {
			continue
		}
		side[i] = 0
		queue = append(queue[:0], uint32(i))
		for at := 0; at < len(queue); at++ {
			t := queue[at]
			for h := 3 * t; h < 3*t+3; h++ {
				twin := w.topo.Twin[h]
				if twin == mesh.None || side[twin/3] != unknown {
					continue
				}
				side[twin/3] = side[t]
				if a, _ := m.Ends(h); a == first(m, twin) {
					side[twin/3] ^= 1
				}
				queue = append(queue, twin/3)
			}
		}
	}
	return side
}

func first(m *mesh.Mesh, h uint32) uint32 {
	from, _ := m.Ends(h)
	return from
}
