package mend

import (
	"math"
	"slices"

	"printlint/internal/geom"
	"printlint/internal/mesh"
)

// countCancelled counts the bodies that are inside out in part: neither are they the
// walls of a hollow, with something solid behind all of them, nor bodies by themselves
// that only need to be turned, which those are that keep clear of all others. Where every
// body is inside out, the file is, and nothing is in doubt.
func (w *mending) countCancelled(b *bodies, outer []outerWinding, turned func(body uint32) bool) {
	boxes, filled := w.boxes(b), w.filledOf(b)
	plain := func(body int) bool { return b.area[body] > 0 && !turned(uint32(body)) && !b.isSheet(uint32(body)) }
	for i := range outer {
		o := &outer[i]
		switch {
		case o.all == 0 || filled[i] > patched*b.area[i]: // what became of it was guessed
		case o.least < 0 && o.most >= 0 || o.least >= 0 && o.bare > 0 && b.volume[i] < 0:
			w.Cancelled++
		case o.most < 0:
			w.spend(stepCost * len(boxes))
			for k := range boxes {
				if plain(k) && boxes[i].Meets(&boxes[k], widestSeam) {
					w.Cancelled++
					break
				}
			}
		}
	}
}

// patched is the share of a body's surface that may be spanned over holes for its winding
// to be the file's own, and not what mending made of it (judgement).
const patched = 0.1

// boxes are those of the bodies.
func (w *mending) boxes(b *bodies) []mesh.Box {
	list := make([]mesh.Box, len(b.of))
	for i := range list {
		list[i] = mesh.EmptyBox()
	}
	for t, s := range w.topo.Shell {
		if s != mesh.None {
			for _, v := range w.tris[t] {
				list[b.of[s]].Include(w.at(v))
			}
		}
	}
	return list
}

// findCancelled looks at the triangles that were left out back to back: where they go all
// around a space that nothing else fills, a body vanished with its own copy, wound
// inside out. Sheets without thickness have rims, and a body that fills a hollow to its
// walls leaves the inside solid.
func (w *mending) findCancelled() error {
	groups := w.rimlessGroups()
	if len(groups) == 0 {
		return nil
	}
	search, err := w.search()
	if err != nil {
		return err
	}
	for _, g := range groups {
		at, n := w.largest(g)
		for _, side := range [2]mesh.Vec{n, n.Scale(-1)} {
			if w.winding(search, at.Add(side.Scale(4*search.Resolution())), side) == 0 {
				w.Cancelled++
				break
			}
		}
	}
	return nil
}

// rimlessGroups lists the paired triangles that hang together over corners and along whose
// edges an even number meets.
func (w *mending) rimlessGroups() [][]facing {
	w.spend(10 * stepCost * len(w.paired))
	if len(w.paired) == 0 {
		return nil
	}
	sets := geom.Sets[uint32](nil).Grow(len(w.verts))
	edges := map[[2]uint32]int{}
	for i := range w.paired {
		c := &w.paired[i].corners
		for _, e := range [3][2]uint32{{c[0], c[1]}, {c[1], c[2]}, {c[0], c[2]}} {
			edges[e]++
			sets.Join(e[0], e[1])
		}
	}
	open := map[uint32]bool{} // by root: some edge is a rim
	for e, n := range edges {
		if n%2 != 0 {
			open[sets.Root(e[0])] = true
		}
	}
	of := map[uint32]int{}
	var groups [][]facing
	for _, f := range w.paired { // in their order, whatever that of the maps
		r := sets.Root(f.corners[0])
		if open[r] {
			continue
		}
		k, known := of[r]
		if !known {
			k = len(groups)
			of[r] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], f)
	}
	return slices.DeleteFunc(groups, func(g []facing) bool { return len(g) < 4 })
}

// largest is the middle and the direction of the largest triangle of a group.
func (w *mending) largest(group []facing) (at, n mesh.Vec) {
	most := math.Inf(-1)
	for i := range group {
		c := &group[i].corners
		a, b, d := w.at(c[0]), w.at(c[1]), w.at(c[2])
		if k := b.Sub(a).Cross(d.Sub(a)); k.Dot(k) > most {
			most, n, at = k.Dot(k), k, a.Add(b).Add(d).Scale(1./3)
		}
	}
	return at, n.Unit()
}

// middle is the middle of a triangle.
func (w *mending) middle(t uint32) mesh.Vec {
	return w.at(w.tris[t][0]).Add(w.at(w.tris[t][1])).Add(w.at(w.tris[t][2])).Scale(1. / 3)
}
